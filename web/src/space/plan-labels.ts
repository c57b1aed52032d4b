// What the plan says along the path: heights where a phase begins and where it was lowest and highest, numbers of
// events or of maneuvers, letters of notes.

import type { Debrief, Maneuver } from '../flight/document';
import type { Series } from '../flight/series';
import type { StoryEvent } from '../flight/story';
import type { PinnedNote } from '../shared/api/types';
import { number } from '../shared/format';
import { spotAt, type Paths } from './path';
import {
  BAR_SHARE,
  dotsOf,
  placeLabels,
  scaleBar,
  toPx,
  type MapView,
  type Placed,
  type Size,
  type TextWidth,
} from './plan';

export interface PlanLabel {
  readonly key: string;
  readonly t: number;
  readonly words: string;
  /** Read aloud. */
  readonly spoken: string;
  readonly kind: 'height' | 'event' | 'maneuver' | 'note';
  readonly must: boolean;
  /** Number of a maneuver, for choosing it. */
  readonly maneuver?: number;
}

/** The height that the page shows elsewhere, else the one above the sea. */
export function heightColumn(series: Series): string | undefined {
  return ['altitude_ft', 'height_ft'].find((id) => series.column(id));
}

/** Heights along the path: ends of the stretch, its lowest and highest point, and the beginning of each phase. */
export function heightLabels(
  series: Series,
  from_s: number,
  to_s: number,
  maneuver: Maneuver | undefined,
): PlanLabel[] {
  const id = heightColumn(series);
  const found = id && series.extremes(id, from_s, to_s);
  if (!id || !found) return [];
  const phases = maneuver?.phases.map((phase) => phase.start_s) ?? [];
  const special = [
    { t: found.low_s, said: 'lowest, ', must: true },
    { t: found.high_s, said: 'highest, ', must: maneuver === undefined },
    ...phases.map((t) => ({ t, said: '', must: false })),
    ...(maneuver ? [{ t: to_s, said: '', must: false }] : []),
  ];
  const out: PlanLabel[] = [];
  for (const { t, said, must } of special) {
    const value = series.at(id, t);
    // Two heights within some seconds say the same.
    const near = (to_s - from_s) / 20;
    if (!Number.isFinite(value) || out.some((other) => Math.abs(other.t - t) < near)) continue;
    const words = `${number(value)}\u00a0ft`;
    out.push({ key: `h${String(t)}`, t, words, spoken: `${said}${words}`, kind: 'height', must });
  }
  return out;
}

/** Numbers of events, as under the time axis. */
export function eventLabels(
  story: readonly StoryEvent[],
  from_s: number,
  to_s: number,
  silent: boolean,
): PlanLabel[] {
  return story
    .filter((event) => event.at_s >= from_s && event.at_s <= to_s)
    .map((event) => ({
      key: `e${String(event.number)}`,
      t: event.at_s,
      words: String(event.number),
      spoken: `${String(event.number)}: ${silent ? event.name : event.words}`,
      kind: 'event' as const,
      must: true,
    }));
}

/** Numbers of maneuvers, on the plan of the whole flight. */
export function maneuverLabels(debrief: Debrief): PlanLabel[] {
  return debrief.maneuvers
    .filter((one) => one.marked)
    .map((one) => ({
      key: `m${String(one.number)}`,
      t: (one.start_s + one.end_s) / 2,
      words: String(one.number),
      spoken: `${String(one.number)}: ${one.title}`,
      kind: 'maneuver' as const,
      must: true,
      maneuver: one.number,
    }));
}

/** `a`, `b`, … for notes in order of time; after `z` comes `aa`. */
export function letter(index: number): string {
  const rest = Math.floor(index / 26);
  return (rest > 0 ? letter(rest - 1) : '') + String.fromCharCode(97 + (index % 26));
}

export interface LetteredNote {
  readonly letter: string;
  readonly note: PinnedNote;
}

/** The notes pinned between two times, with the letters that they have in the whole lesson. */
export function notesBetween(notes: readonly PinnedNote[], from_s: number, to_s: number): LetteredNote[] {
  return [...notes]
    .sort((a, b) => a.at_s - b.at_s)
    .map((note, index) => ({ letter: letter(index), note }))
    .filter(({ note }) => note.at_s >= from_s && note.at_s <= to_s);
}

export function noteLabels(notes: readonly LetteredNote[]): PlanLabel[] {
  return notes.map(({ letter: words, note }) => ({
    key: `n${note.id}`,
    t: note.at_s,
    words,
    spoken: `note ${words}: ${note.text}`,
    kind: 'note' as const,
    must: true,
  }));
}

/** A label with its place on the picture. */
export type PlacedLabel = Placed & { readonly label: PlanLabel };

/** Finds places for the labels of a plan: off the paths, the scale bar and the north mark. */
export function placedLabels(
  labels: readonly PlanLabel[],
  paths: Paths,
  view: MapView,
  size: Size,
  label_px: number,
  textWidth: TextWidth,
): PlacedLabel[] {
  const which = paths.air ? 'air' : 'ground';
  const wishes = labels.flatMap((one) => {
    const spot = spotAt(paths, one.t, which);
    if (!spot) return [];
    const width = textWidth(one.words, label_px, one.kind !== 'height') + 4;
    return [{ key: one.key, must: one.must, ...toPx(view, size, spot), width, height: label_px + 3 }];
  });
  const bar = scaleBar(view.scale, size.width * BAR_SHARE);
  const corner = { x0: 0, y0: size.height - label_px - 14, x1: bar.px + 8, y1: size.height };
  const north = { x0: size.width - 26, y0: 0, x1: size.width, y1: 34 };
  const byKey = new Map(labels.map((one) => [one.key, one]));
  return placeLabels(wishes, dotsOf(paths, view, size), size, [corner, north]).flatMap((box) => {
    const label = byKey.get(box.key);
    return label ? [{ ...box, label }] : [];
  });
}
