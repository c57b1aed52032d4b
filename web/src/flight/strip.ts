// The height strip of the whole flight with the maneuvers on it: where its line, bands and names lie.

import { TimeAxis } from './axis';
import type { Debrief, Maneuver } from './document';
import { drawn } from './lod';
import { padded, nice, level, type Range } from './scale';
import { pathOf, runsOf, thin } from './runs';
import type { Series } from './series';

export interface StripLayout {
  readonly axis: TimeAxis;
  readonly top: number;
  readonly height: number;
  /** SVG path of the height; empty where none was recorded. */
  readonly path: string;
  readonly ticks: readonly { y: number; words: string }[];
  readonly names: readonly StripName[];
  /** y of the time labels. */
  readonly times: number;
  readonly total: number;
}

export interface StripName {
  readonly maneuver: Maneuver;
  readonly x0: number;
  readonly x1: number;
  /** Where the words begin; undefined = no room for any. */
  readonly label: { readonly x: number; readonly y: number; readonly words: string } | undefined;
}

export interface StripInput {
  readonly debrief: Debrief;
  readonly series: Series | undefined;
  readonly width: number;
  readonly label: number;
  /** Numbers only, where names would not fit. */
  readonly narrow: boolean;
  readonly textWidth: (words: string, size: number, bold?: boolean) => number;
}

export function stripLayout(input: StripInput): StripLayout {
  const { debrief, width, label } = input;
  const right = width - label * 3.6;
  const axis = TimeAxis.linear(0, debrief.recording.duration_s, 0, right);
  const top = 4;
  const height = 58;
  const heights = heightSamples(input, axis);
  const range = rangeOf(heights.value);
  const scale: Range | undefined = range && padded(range[0], range[1], 400);
  const names = namesOf(input, axis, top + height + 6 + label);
  const lowest = names.reduce(
    (most, { label: one }) => Math.max(most, one?.y ?? 0),
    top + height + 6 + label,
  );
  const y = (value: number): number => (scale ? level(value, scale, top, height) : top);
  const samples = {
    length: heights.time.length,
    time: (i: number) => heights.time[i] ?? NaN,
    value: (i: number) => heights.value[i] ?? NaN,
  };
  return {
    axis,
    top,
    height,
    path: scale ? pathOf(runsOf(axis, samples, y).map((run) => thin(run, 0.5))) : '',
    ticks: scale ? nice(scale, 2).map(({ value, words }) => ({ y: y(value), words })) : [],
    names,
    times: lowest + label + 3,
    total: lowest + label + 8,
  };
}

/** Minima and maxima of the series; until they come, the document's own thin strip. */
function heightSamples(
  { debrief, series, width }: StripInput,
  axis: TimeAxis,
): { time: number[]; value: number[] } {
  const column = series?.column('altitude_ft');
  if (series && column) {
    const data = drawn(series, [column], axis, width);
    return { time: data.times, value: (data.values[0] ?? []).map((value) => value ?? NaN) };
  }
  const { strip_altitude_ft: values, strip_step_s: step } = debrief.flight;
  return { time: values.map((_, i) => i * step), value: values.map((value) => value ?? NaN) };
}

function rangeOf(values: readonly number[]): Range | undefined {
  let low = Infinity;
  let high = -Infinity;
  for (const value of values) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  return low <= high ? [low, high] : undefined;
}

/** The kind in plain words, with the side of a turn. */
export function shortTitle(maneuver: Maneuver): string {
  const kind = maneuver.kind.replaceAll('_', ' ');
  return maneuver.direction === 'left' || maneuver.direction === 'right'
    ? `${kind}, ${maneuver.direction}`
    : kind;
}

/** Number and name under each maneuver; where names would touch, a second line, then the number alone. */
function namesOf(
  { debrief, width, label, narrow, textWidth }: StripInput,
  axis: TimeAxis,
  y: number,
): StripName[] {
  const taken: { x0: number; x1: number; line: number }[] = [];
  const free = (x0: number, x1: number, line: number): boolean =>
    taken.every((one) => one.line !== line || one.x1 < x0 || one.x0 > x1);
  const place = (maneuver: Maneuver): StripName => {
    const x0 = axis.clamped(maneuver.start_s);
    const x1 = Math.max(axis.clamped(maneuver.end_s), x0 + 2);
    const number = String(maneuver.number);
    const choices = narrow || !maneuver.marked ? [number] : [`${number} ${shortTitle(maneuver)}`, number];
    for (const words of choices) {
      const wide = textWidth(words, label, maneuver.marked);
      const x = Math.min(x0, width - wide);
      for (let line = 0; line < (narrow || !maneuver.marked ? 1 : 2); line += 1) {
        if (!free(x - 4, x + wide + 4, line)) continue;
        taken.push({ x0: x - 4, x1: x + wide + 4, line });
        return { maneuver, x0, x1, label: { x, y: y + line * (label + 2), words } };
      }
    }
    return { maneuver, x0, x1, label: undefined };
  };
  const marked = debrief.maneuvers.filter((one) => one.marked).map(place);
  const others = debrief.maneuvers.filter((one) => !one.marked).map(place);
  return [...marked, ...others].sort((a, b) => a.x0 - b.x0);
}
