// Ribbons: each element as deviation ÷ tolerance over time, so that ±1 is the limit of every quantity. A pure function
// from a mark and an axis to shapes; the rules are those of docs/looks.md, and the printed sheet keeps the same.
//
// All rows share one px per tolerance. The band is what the standard allows, over the graded span only; hatching
// stands only where an excursion is decided: its peak less 1.645 σ is still outside (one-sided 95 %,
// JCGM 106:2012, 8.3.2).

import type { TimeAxis } from '../flight/axis';
import type { Maneuver, Mark, Ribbon } from '../flight/document';
import { bare, plain } from '../flight/numbers';
import { areaOf, pathOf, ribbonAround, runsOf, type Point, type Samples } from '../flight/runs';
import { hatching } from './hatch';

/** px per tolerance. */
export const SCALE = 10;
/** Tolerances that a row grows to; a value beyond breaks the line. */
export const MOST = 4.5;
/** One-sided 95 %. */
export const DECIDED = 1.645;
/** A thin line outside the graded span is drawn to here, in tolerances. */
const OUTER_MOST = 1.9;

/** Criteria that would have a row had the recorder carried them. */
const OVER_TIME = new Set([
  'heading',
  'altitude',
  'airspeed',
  'bank',
  'coordination',
  'pitch_up_smooth',
  'flap_extension_speed',
  'no_stall_warning',
]);

export interface Label {
  readonly x: number;
  readonly y: number;
  readonly anchor: 'start' | 'end';
  readonly words: string;
}

export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface Dot {
  readonly x: number;
  readonly y: number;
  /** Half of ±σ, px; 0 = none. */
  readonly half: number;
  readonly outside: boolean;
}

/** Everything that is drawn of one row. Paths are SVG `d`. */
export interface RibbonShape {
  readonly band: Box | undefined;
  readonly zero: number | undefined;
  /** Limit lines: y, from x to x. */
  readonly limits: readonly { y: number; x0: number; x1: number; dashed: boolean }[];
  readonly labels: readonly Label[];
  readonly outer: string;
  readonly sigma: string;
  readonly line: string;
  readonly hatch: string;
  readonly beyond: string;
  readonly dots: readonly Dot[];
  readonly clock: Clock | undefined;
  /** One line of words over an empty band. */
  readonly words: Label | undefined;
}

export interface Clock {
  readonly bar: Box;
  readonly sigma: Box | undefined;
  readonly over: Box | undefined;
  /** The end of what is allowed, px. */
  readonly limit: number;
}

const NOTHING: RibbonShape = {
  band: undefined,
  zero: undefined,
  limits: [],
  labels: [],
  outer: '',
  sigma: '',
  line: '',
  hatch: '',
  beyond: '',
  dots: [],
  clock: undefined,
  words: undefined,
};

/** Width of words in px, as the page will set them. */
export type Measure = (words: string) => number;

/** Whether a mark is drawn as a row: it has a ribbon, or it would have one had the recorder carried it. */
export function hasRow(mark: Mark): boolean {
  if (mark.mark === 'for_instructor') return false;
  if (mark.mark === 'not_recorded') return OVER_TIME.has(mark.criterion);
  // A count has no place on a time axis, and a one-sided limit that was never come near says all in one number.
  return mark.unit !== 'steps' && (mark.ribbon?.deviation.length ?? 0) > 0 && !isFarInside(mark);
}

/** Rows in order: what was not met first, so that one look shows which broke; at most three empty rows, last. */
export function rowsOf(maneuver: Maneuver): Mark[] {
  const order = (mark: Mark): number =>
    mark.mark === 'not_met' ? 0 : mark.mark === 'too_close' ? 1 : mark.mark === 'not_recorded' ? 3 : 2;
  const rows = maneuver.marks.filter(hasRow).sort((a, b) => order(a) - order(b));
  const drawn = rows.filter((mark) => mark.mark !== 'not_recorded').length;
  return rows.slice(0, drawn + 3);
}

/** Whether a one-sided limit was met with more than a whole tolerance to spare all along. */
function isFarInside(mark: Mark): boolean {
  const ribbon = mark.ribbon;
  if (ribbon?.style !== 'line' || mark.mark !== 'met') return false;
  const low = has(mark.low);
  const high = has(mark.high);
  if (low === high) return false;
  const sign = low ? 1 : -1;
  return gradedValues(ribbon).every((value) => value * sign > 0);
}

/** Room above and below the middle of a row, px. */
export function extent(mark: Mark): { up: number; down: number } {
  const ribbon = mark.ribbon;
  if (!ribbon || ribbon.style === 'clock' || mark.mark === 'not_recorded') return { up: SCALE, down: SCALE };
  const all = ribbon.deviation.filter((value) => value !== null);
  const graded = gradedValues(ribbon);
  const reach = (sign: number, values: readonly number[]): number =>
    values.reduce((most, value) => Math.max(most, Math.min(value * sign, MOST)), 1);
  // What only the thin line outside the graded span does may cost two tolerances of paper, not more.
  const side = (sign: number): number => SCALE * Math.min(reach(sign, all), Math.max(reach(sign, graded), 2));
  return { up: side(1), down: side(-1) };
}

/** Draws a row whose target lies at `middle`. */
export function ribbonShape(mark: Mark, axis: TimeAxis, middle: number, measure: Measure): RibbonShape {
  const ribbon = mark.ribbon;
  if (mark.mark === 'not_recorded' || !ribbon) return unrecorded(mark, axis, middle);
  if (ribbon.style === 'clock') return clockShape(mark, ribbon, axis, middle);
  if (ribbon.style === 'moments') return momentsShape(mark, ribbon, axis, middle, measure);
  return lineShape(mark, ribbon, axis, middle, measure);
}

function has(value: number | null | undefined): value is number {
  return value !== null && value !== undefined && Number.isFinite(value);
}

function samplesOf(ribbon: Ribbon, keep: (value: number) => boolean): Samples {
  return {
    length: ribbon.deviation.length,
    time: (i) => ribbon.start_s + i * ribbon.step_s,
    value: (i) => {
      const value = ribbon.deviation[i] ?? NaN;
      return keep(value) ? value : NaN;
    },
  };
}

function timeOf(ribbon: Ribbon, index: number): number {
  return ribbon.style === 'moments'
    ? (ribbon.moments_s?.[index] ?? NaN)
    : ribbon.start_s + index * ribbon.step_s;
}

function gradedValues(ribbon: Ribbon): number[] {
  return ribbon.deviation.filter((value, index): value is number => {
    const t = timeOf(ribbon, index);
    return has(value) && t >= ribbon.graded_from_s - 1e-6 && t <= ribbon.graded_to_s + 1e-6;
  });
}

/** No channel: dashed limits, an empty band, one line of words. */
function unrecorded(mark: Mark, axis: TimeAxis, middle: number): RibbonShape {
  const note = mark.note?.trim() ?? '';
  return {
    ...NOTHING,
    limits: [-SCALE, SCALE].map((off) => ({ y: middle + off, x0: axis.left, x1: axis.right, dashed: true })),
    words: {
      x: axis.left + 8,
      y: middle + 4,
      anchor: 'start',
      words: note === '' ? 'the recorder did not carry it' : note,
    },
  };
}

/** The band over the graded span with its limits and their labels; nothing where the span is not in view. */
function band(mark: Mark, from: number, to: number, middle: number, axis: TimeAxis, measure: Measure) {
  const limits = [
    { limit: mark.high, y: middle - SCALE, lead: '+' },
    { limit: mark.low, y: middle + SCALE, lead: '−' },
  ].flatMap(({ limit, y, lead }) => (has(limit) ? [{ limit, y, lead }] : []));
  const visible = to > from;
  return {
    band: visible ? { x: from, y: middle - SCALE, width: to - from, height: 2 * SCALE } : undefined,
    limits: visible ? limits.map(({ y }) => ({ y, x0: from, x1: to, dashed: false })) : [],
    labels: visible
      ? limits.map(({ limit, y, lead }) => limitLabel(mark, limit, y, lead, from, axis, measure))
      : [],
  };
}

/** A limit in the quantity's own unit, at the left of the band; in the gutter where the band begins at the edge. */
function limitLabel(
  mark: Mark,
  limit: number,
  y: number,
  lead: string,
  from: number,
  axis: TimeAxis,
  measure: Measure,
): Label {
  const { target, low, high } = mark;
  const even =
    has(target) &&
    has(low) &&
    has(high) &&
    Math.abs(high - target - (target - low)) < 1e-6 * Math.max(Math.abs(high), 1);
  const sign = even ? lead : '';
  const value = even ? Math.abs(limit - target) : limit;
  const words = `${sign}${plain(value, mark.unit)}`;
  const outside = from - 4 - measure(words) < axis.left;
  // In the gutter the unit stands with the name of the row.
  const short = outside && measure(words) > 38 ? `${sign}${bare(value)}` : words;
  return { x: outside ? axis.left - 6 : from - 4, y: y + 3.6, anchor: 'end', words: short };
}

function lineShape(
  mark: Mark,
  ribbon: Ribbon,
  axis: TimeAxis,
  middle: number,
  measure: Measure,
): RibbonShape {
  const { graded_from_s: from_s, graded_to_s: to_s } = ribbon;
  const seen = to_s > axis.start && from_s < axis.end;
  const from = axis.clamped(from_s);
  const to = seen ? axis.clamped(to_s) : from;
  const level = (value: number): number => middle - SCALE * value;
  const oneSided = !has(mark.low) || !has(mark.high);
  const graded = runsOf(
    axis,
    samplesOf(ribbon, (value) => Math.abs(value) <= MOST + 0.3),
    level,
    from_s,
    to_s,
  );
  const thin = samplesOf(ribbon, (value) => Math.abs(value) <= OUTER_MOST);
  const before = runsOf(axis, thin, level, -Infinity, from_s);
  // For a one-sided limit the line after the span would look like a broken limit.
  const after = oneSided ? [] : runsOf(axis, thin, level, to_s, Infinity);
  const sigma = Math.min(Math.max(has(ribbon.sigma) ? ribbon.sigma : 0, 0), 2);
  const excess = beyond(mark, graded, middle, sigma);
  return {
    ...NOTHING,
    ...band(mark, from, to, middle, axis, measure),
    zero: middle,
    outer: pathOf([...before, ...after]),
    sigma: sigma > 0 ? graded.map((run) => ribbonAround(run, SCALE * sigma)).join('') : '',
    line: pathOf(graded),
    hatch: excess.hatch,
    beyond: excess.line,
  };
}

/** Decided excursions: their hatching, and the heavy line over them. */
function beyond(
  mark: Mark,
  runs: readonly Point[][],
  middle: number,
  sigma: number,
): { hatch: string; line: string } {
  const parts = decidedExcursions(mark, runs, middle, sigma);
  return {
    hatch: parts.map(({ part, limit }) => pathOf(hatching(closed(part, limit)))).join(''),
    line: pathOf(parts.map(({ part }) => part)),
  };
}

function closed(part: readonly Point[], limit: number): Point[] {
  const first = part[0];
  const last = part.at(-1);
  return first && last ? [[first[0], limit], ...part, [last[0], limit]] : [];
}

/** The parts of runs that lie outside a limit by more than the measurement's doubt. */
export function decidedExcursions(
  mark: Mark,
  runs: readonly Point[][],
  middle: number,
  sigma: number,
): { part: Point[]; limit: number }[] {
  // Where the mark says that it cannot be decided, no peak may say otherwise.
  if (mark.mark === 'too_close') return [];
  return [1, -1].flatMap((sign) => {
    if (!has(sign > 0 ? mark.high : mark.low)) return [];
    const limit = middle - SCALE * sign;
    const height = (y: number): number => ((limit - y) * sign) / SCALE;
    return runs
      .flatMap((run) => excursions(run, height))
      .filter((part) => part.reduce((peak, [, y]) => Math.max(peak, height(y)), 0) > DECIDED * sigma)
      .map((part) => ({ part, limit }));
  });
}

/** Parts of a run where `height` is positive, cut where it crosses zero. */
export function excursions(run: readonly Point[], height: (y: number) => number): Point[][] {
  const parts: Point[][] = [];
  let part: Point[] = [];
  run.forEach((point, i) => {
    const last = run[i - 1];
    const b = height(point[1]);
    if (last) {
      const a = height(last[1]);
      if (a > 0 !== b > 0) {
        const share = a / (a - b);
        part.push([last[0] + share * (point[0] - last[0]), last[1] + share * (point[1] - last[1])]);
        if (b <= 0) {
          parts.push(part);
          part = [];
        }
      }
    }
    if (b > 0) part.push(point);
  });
  if (part.length > 1) parts.push(part);
  return parts;
}

/** Moments: dots with ±σ and no line between them. */
function momentsShape(
  mark: Mark,
  ribbon: Ribbon,
  axis: TimeAxis,
  middle: number,
  measure: Measure,
): RibbonShape {
  const seen = ribbon.graded_to_s >= axis.start && ribbon.graded_from_s <= axis.end;
  // One moment has no width: its band gets some, within the plot.
  const least = 8;
  const from = Math.min(axis.clamped(ribbon.graded_from_s), axis.right - least);
  const to = seen ? Math.max(axis.clamped(ribbon.graded_to_s), from + least) : from;
  const sigma = has(ribbon.sigma) ? ribbon.sigma : 0;
  const dots = ribbon.deviation.flatMap((value, index): Dot[] => {
    const x = axis.x(timeOf(ribbon, index));
    if (!has(value) || x === undefined) return [];
    const outside =
      (has(mark.high) && value - DECIDED * sigma > 1) || (has(mark.low) && value + DECIDED * sigma < -1);
    const half = SCALE * Math.min(Math.max(sigma, 0), 2);
    return [
      { x, y: middle - SCALE * Math.min(Math.max(value, -MOST), MOST), half: half > 0.5 ? half : 0, outside },
    ];
  });
  return { ...NOTHING, ...band(mark, from, to, middle, axis, measure), zero: middle, dots };
}

/** A clock: bar = taken, band = allowed (or asked for, where the limit is a least one). */
function clockShape(mark: Mark, ribbon: Ribbon, axis: TimeAxis, middle: number): RibbonShape {
  const limit = mark.high ?? mark.low ?? ribbon.step_s;
  const share = ribbon.deviation[0];
  const taken = mark.worst ?? (has(share) ? share * limit : undefined);
  if (taken === undefined) return { ...NOTHING };
  // A least time ends at its moment (30 s settled before the pull), a longest one begins there.
  const way = has(mark.high) ? 1 : -1;
  const at = (seconds: number): number => axis.clamped(ribbon.graded_from_s + way * Math.max(seconds, 0));
  const box = (a: number, b: number, half: number): Box => ({
    x: Math.min(a, b),
    y: middle - half,
    width: Math.max(Math.abs(a - b), 1),
    height: 2 * half,
  });
  const from = at(0);
  const to = at(limit);
  if (Math.abs(to - from) < 1e-6 && Math.abs(at(taken) - from) < 1e-6) return { ...NOTHING };
  const sigma = has(mark.sigma) && mark.sigma > 0 ? mark.sigma : 0;
  const over = has(mark.high) && taken - DECIDED * sigma > limit ? box(to, at(taken), 8) : undefined;
  return {
    ...NOTHING,
    band: box(from, to, 8),
    hatch: over ? pathOf(hatching(corners(over))) : '',
    clock: {
      bar: box(from, over ? to : at(taken), 2.5),
      sigma: sigma > 0 ? box(at(taken - sigma), at(taken + sigma), 8) : undefined,
      over: over ? { ...over, y: middle - 2.5, height: 5 } : undefined,
      limit: to,
    },
  };
}

function corners({ x, y, width, height }: Box): Point[] {
  return [
    [x, y],
    [x + width, y],
    [x + width, y + height],
    [x, y + height],
  ];
}

/** A box as a path, for outlines that share one element. */
export function boxPath({ x, y, width, height }: Box): string {
  return areaOf(corners({ x, y, width, height }));
}
