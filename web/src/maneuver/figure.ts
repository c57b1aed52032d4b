// The layout of a sheet's figure: where each column, row, panel and word lies. A pure function of what is drawn, the
// width, and how wide words are; the components only put ink where it says.

import type { TimeAxis } from '../flight/axis';
import { spread } from '../flight/axis';
import type { Maneuver, Mark, Phase } from '../flight/document';
import { plainId } from '../flight/names';
import { capital } from '../flight/numbers';
import { level } from '../flight/scale';
import type { StoryEvent } from '../flight/story';
import type { Watch } from '../flight/watch';
import type { Panel } from './panels';
import { Plot } from './place';
import { extent, ribbonShape, type RibbonShape } from './ribbon';
import { isLeft, limits, worst } from './words';

/** Width of words in px at a size and weight. */
export type TextWidth = (words: string, size: number, bold?: boolean) => number;

/** Columns of a figure, px. */
export interface Frame {
  readonly width: number;
  /** Left and right edge of the plot. */
  readonly x0: number;
  readonly x1: number;
  /** Width of the column of names. */
  readonly names: number;
  /** Size of labels and of tick labels. */
  readonly label: number;
  readonly line: number;
}

/** The frame for a width; labels are larger where the page is touched. */
export function frameFor(width: number, label: number): Frame {
  const names = Math.min(Math.max(width * 0.18, 104), 150);
  const right = Math.min(Math.max(width * 0.17, 118), 150);
  const ticks = label > 12 ? 46 : 42;
  const x0 = names + ticks;
  // While the page finds its shape the width may be next to nothing.
  return { width, x0, x1: Math.max(width - right, x0 + 1), names, label, line: Math.round(label * 1.12) };
}

export interface RowLayout {
  readonly mark: Mark;
  readonly top: number;
  readonly height: number;
  readonly middle: number;
  readonly name: readonly string[];
  readonly limits: readonly string[];
  readonly worst: readonly string[];
  /** A person's word on it. */
  readonly said: readonly string[];
  readonly shape: RibbonShape;
}

export interface PlacedTick {
  readonly y: number;
  readonly words: string;
}

export interface PlacedNote {
  readonly x: number;
  readonly y: number;
  readonly words: string;
  readonly dot: { readonly x: number; readonly y: number } | undefined;
}

/** The name of a line, along it. */
export interface PlacedName {
  readonly x: number;
  readonly y: number;
  readonly words: string;
}

export interface PanelLayout {
  readonly panel: Panel;
  readonly top: number;
  readonly second: readonly string[];
  readonly ticks: readonly PlacedTick[];
  readonly margin: readonly { y: number; words: string; bold: boolean }[];
  readonly notes: readonly PlacedNote[];
  readonly names: readonly PlacedName[];
}

export interface ColumnLayout {
  readonly phase: Phase;
  readonly x0: number;
  readonly x1: number;
  readonly tinted: boolean;
  /** A line at its left edge. */
  readonly border: boolean;
}

export interface EventLayout {
  readonly event: StoryEvent;
  /** Where it was, px; undefined outside the axis. */
  readonly x: number | undefined;
  /** Where its number stands. */
  readonly place: number;
}

export interface FigureLayout {
  readonly frame: Frame;
  readonly axis: TimeAxis;
  /** y of the top of the columns. */
  readonly top: number;
  readonly phaseNames: readonly { x: number; y: number; words: string }[];
  readonly columns: readonly ColumnLayout[];
  readonly rows: readonly RowLayout[];
  readonly panels: readonly PanelLayout[];
  /** y of the axis. */
  readonly bottom: number;
  readonly ticks: readonly { x: number; t: number; words: string }[];
  readonly events: readonly EventLayout[];
  readonly height: number;
}

const ROW_MIN = 29;
const NUMBER_APART = 16;
/** Lines of phase names above the columns. */
const NAME_LINES = 3;

export interface FigureInput {
  readonly maneuver: Maneuver;
  readonly rows: readonly Mark[];
  readonly panels: readonly Panel[];
  readonly story: readonly StoryEvent[];
  readonly axis: TimeAxis;
  readonly frame: Frame;
  readonly watch: Watch;
  readonly width: TextWidth;
  /** Seconds between samples of the traces. */
  readonly step_s: number;
  /** A person's word on a mark; empty = none. */
  readonly said?: (mark: Mark) => string;
  /** Room between the phase names and the columns, px: for what is pinned there. */
  readonly head?: number;
}

/** Lays out a figure. */
export function figureLayout(input: FigureInput): FigureLayout {
  const { maneuver, axis, frame, watch, story } = input;
  const names = phaseNames(input);
  const lines = names.reduce((most, name) => Math.max(most, name.line + 1), 1);
  const head = input.head ?? 0;
  const top = 6 + 15 * lines + head;
  let y = top + 4;
  const rows = input.rows.map((mark) => {
    const row = rowLayout(input, mark, y);
    y += row.height + 3;
    return row;
  });
  y += 10;
  const panels = input.panels.map((panel) => {
    const layout = panelLayout(input, panel, y);
    y += Math.max(panel.height, 16 + frame.line * layout.second.length) + 9;
    return layout;
  });
  const bottom = y;
  const apart = input.width('00:00', frame.label) + 10;
  return {
    frame,
    axis,
    top,
    phaseNames: names.map(({ x, line, words }) => ({ x, y: top - head - 5 - 15 * line, words })),
    columns: columnsOf(maneuver, axis),
    rows,
    panels,
    bottom,
    ticks: axis.ticks(watch.offset_s, apart).map(({ t, x }) => ({ t, x, words: tickWords(axis, watch, t) })),
    events: eventsOf(story, axis, frame),
    height: bottom + frame.label + 34,
  };
}

/** Minutes and seconds; hours where the window is long, tenths where it is short. */
function tickWords(axis: TimeAxis, watch: Watch, t: number): string {
  const span = axis.end - axis.start;
  if (span > 3600) return watch.hm(t);
  return span < 8 ? watch.tenths(t) : watch.ms(t);
}

/** Phases as columns: one that only frames others (slow flight established, with its legs inside) is left out. */
export function phasesOf(maneuver: Maneuver): Phase[] {
  const frames = (outer: Phase): boolean =>
    maneuver.phases.filter(
      (inner) =>
        inner.start_s >= outer.start_s - 0.5 &&
        inner.end_s <= outer.end_s + 0.5 &&
        inner.end_s - inner.start_s < 0.95 * (outer.end_s - outer.start_s),
    ).length > 1;
  return maneuver.phases.filter((phase) => !frames(phase));
}

function columnsOf(maneuver: Maneuver, axis: TimeAxis): ColumnLayout[] {
  return phasesOf(maneuver).flatMap((phase, index) => {
    if (phase.end_s < axis.start || phase.start_s > axis.end) return [];
    return [
      {
        phase,
        x0: axis.clamped(phase.start_s),
        x1: axis.clamped(phase.end_s),
        tinted: index % 2 === 1,
        border: phase.start_s > axis.start + 1e-3 && phase.start_s > maneuver.start_s + 0.5,
      },
    ];
  });
}

/** Phase names in one or more lines above the columns. */
function phaseNames({
  maneuver,
  axis,
  frame,
  width,
}: FigureInput): { x: number; line: number; words: string }[] {
  const ends: number[] = [];
  return phasesOf(maneuver).flatMap((phase) => {
    if (phase.end_s <= axis.start || phase.start_s >= axis.end) return [];
    const words = plainId(phase.name);
    const wide = width(words, frame.label);
    const x = Math.min(axis.clamped(phase.start_s) + 3, frame.x1 - wide);
    let line = ends.findIndex((end) => end + 6 <= x);
    if (line < 0) line = ends.length;
    // Zoomed far out, the columns are slivers: names piled up above them would say less than none.
    if (line >= NAME_LINES) return [];
    ends[line] = x + wide;
    return [{ x, line, words }];
  });
}

/** Breaks words into lines that fit. */
export function wrap(words: string, most: number, width: (words: string) => number): string[] {
  const lines: string[] = [];
  for (const word of words.split(' ')) {
    const last = lines.at(-1);
    if (last !== undefined && width(`${last} ${word}`) <= most) lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  return lines;
}

function rowLayout({ maneuver, axis, frame, width, said }: FigureInput, mark: Mark, top: number): RowLayout {
  const { up, down } = extent(mark);
  const plain = (words: string): number => width(words, frame.label);
  const name = wrap(capital(mark.quantity), frame.names, (words) => width(words, frame.label, true));
  const asked = limits(mark);
  const second = asked === '' ? [] : wrap(asked, frame.names, plain);
  const value = worst(mark, isLeft(maneuver));
  const room = frame.width - frame.x1 - 10 - 26;
  const right = value === undefined ? [] : wrap(value, room, plain).slice(0, 2);
  const word = said?.(mark) ?? '';
  const wordLines = word === '' ? [] : wrap(word, room, plain);
  const height = Math.max(
    ROW_MIN,
    up + down + 6,
    frame.line * (name.length + second.length) + 3,
    frame.line * (right.length + wordLines.length + 1) + 3,
  );
  const middle = top + (height - up - down) / 2 + up;
  return {
    mark,
    top,
    height,
    middle,
    name,
    limits: second,
    worst: right,
    said: wordLines,
    shape: ribbonShape(mark, axis, middle, plain),
  };
}

function panelLayout(input: FigureInput, panel: Panel, top: number): PanelLayout {
  const { frame, axis, width } = input;
  const y = (value: number): number => level(value, panel.scale, top, panel.height);
  const kept: PlacedTick[] = [];
  for (const { value, words } of panel.ticks) {
    const at = y(value);
    const inside = at > top - 2 && at < top + panel.height + 2;
    if (inside && kept.every((other) => Math.abs(other.y - at) >= frame.label)) kept.push({ y: at, words });
  }
  // A name without its line says nothing.
  const named = panel.margin
    .filter(({ value, bold }) => bold || kept.some((tick) => Math.abs(tick.y - y(value)) < 0.01))
    .sort((a, b) => b.value - a.value);
  const places = spread(
    named.map(({ value }) => y(value)),
    frame.line - 1,
    top - 2,
    top + panel.height + 4,
  );
  return {
    panel,
    top,
    second: wrap(panel.second, frame.names, (words) => width(words, frame.label)),
    ticks: kept,
    margin: named.map(({ words, bold }, i) => ({ words, bold, y: places[i] ?? top })),
    ...placeWords(new Plot(panel, axis, top, input.step_s), panel, axis, frame.label, width),
  };
}

/** Numbers beside their points and names along their lines; what finds no room is left out, its dot stays. */
function placeWords(plot: Plot, panel: Panel, axis: TimeAxis, label: number, width: TextWidth) {
  const spots = panel.notes.flatMap((note) => {
    const x = axis.x(note.t);
    return x === undefined ? [] : [{ note, x, y: plot.y(note.value) }];
  });
  for (const { note, x, y } of spots) {
    if (note.dot) plot.take({ x0: x - 4, x1: x + 4, y0: y - 4, y1: y + 4 });
  }
  const notes = spots.map(({ note, x, y }): PlacedNote => {
    const dot = note.dot ? { x, y } : undefined;
    const area = plot.beside(x, y, width(note.words, label, true), label);
    if (area) plot.take(area);
    return { x: area?.x0 ?? x, y: area?.y1 ?? y, words: area ? note.words : '', dot };
  });
  const names = panel.lines.flatMap((line): PlacedName[] => {
    if (line.name === undefined) return [];
    const area = plot.along(line, width(line.name, label), label);
    if (area) plot.take(area);
    return area ? [{ x: area.x0, y: area.y1, words: line.name }] : [];
  });
  return { notes, names };
}

function eventsOf(story: readonly StoryEvent[], axis: TimeAxis, frame: Frame): EventLayout[] {
  const seen = story.filter((event) => axis.x(event.at_s) !== undefined);
  const places = spread(
    seen.map((event) => axis.clamped(event.at_s)),
    NUMBER_APART,
    frame.x0 - 20,
    frame.x1 + 20,
  );
  return seen.map((event, i) => ({ event, x: axis.x(event.at_s), place: places[i] ?? frame.x0 }));
}
