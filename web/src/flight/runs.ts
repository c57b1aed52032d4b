// From samples to lines of ink: unbroken runs on an axis, cut exactly at its edges and seams, and their SVG paths.

import type { TimeAxis } from './axis';

export type Point = readonly [x: number, y: number];

/** Samples in order of time; a value that is not finite breaks the line. */
export interface Samples {
  readonly length: number;
  readonly time: (index: number) => number;
  readonly value: (index: number) => number;
}

/**
 * The samples between two times as unbroken runs of px. A run ends at a hole, at a seam and at the edges of the axis,
 * there at the value between the samples on either side.
 */
export function runsOf(
  axis: TimeAxis,
  samples: Samples,
  y: (value: number) => number,
  from_s = -Infinity,
  to_s = Infinity,
): Point[][] {
  const out: Point[][] = [];
  for (const piece of axis.pieces) {
    const low = Math.max(piece.t0, from_s);
    const high = Math.min(piece.t1, to_s);
    if (!(high > low)) continue;
    const x = (t: number): number =>
      piece.x0 + ((t - piece.t0) / (piece.t1 - piece.t0)) * (piece.x1 - piece.x0);
    let run: Point[] = [];
    const finish = (): void => {
      if (run.length > 1) out.push(run);
      run = [];
    };
    for (let i = firstAtOrBefore(samples, low); i < samples.length; i += 1) {
      const t = samples.time(i);
      const value = samples.value(i);
      if (!Number.isFinite(value)) finish();
      else if (t >= low && t <= high) {
        if (run.length === 0) pushCrossing(run, samples, i - 1, i, low, x, y);
        run.push([x(t), y(value)]);
      } else if (t > high && run.length > 0) pushCrossing(run, samples, i - 1, i, high, x, y);
      else if (t > high) pushSpan(run, samples, i, low, high, x, y);
      if (t > high) break;
    }
    finish();
  }
  return out;
}

function firstAtOrBefore(samples: Samples, t: number): number {
  let low = 0;
  let high = samples.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (samples.time(middle) < t) low = middle + 1;
    else high = middle;
  }
  return Math.max(low - 1, 0);
}

/** The value between two known samples at an edge, if the edge lies between them. */
function between(samples: Samples, a: number, b: number, t: number): number {
  if (a < 0) return NaN;
  const t0 = samples.time(a);
  const t1 = samples.time(b);
  if (!(t > t0 && t < t1)) return NaN;
  return samples.value(a) + ((t - t0) / (t1 - t0)) * (samples.value(b) - samples.value(a));
}

function pushCrossing(
  run: Point[],
  samples: Samples,
  a: number,
  b: number,
  t: number,
  x: (t: number) => number,
  y: (value: number) => number,
): void {
  const value = between(samples, a, b, t);
  if (Number.isFinite(value)) run.push([x(t), y(value)]);
}

/** A window between two samples: no sample inside, yet the line passes through. */
function pushSpan(
  run: Point[],
  samples: Samples,
  after: number,
  low: number,
  high: number,
  x: (t: number) => number,
  y: (value: number) => number,
): void {
  pushCrossing(run, samples, after - 1, after, low, x, y);
  pushCrossing(run, samples, after - 1, after, high, x, y);
}

/** Keeps the first, least, greatest and last point of each column of `width` px, in order. */
export function thin(points: readonly Point[], width = 0.7): Point[] {
  const out: Point[] = [];
  let from = 0;
  while (from < points.length) {
    const column = Math.floor((points[from]?.[0] ?? 0) / width);
    let until = from;
    let low = from;
    let high = from;
    for (; until < points.length; until += 1) {
      const point = points[until];
      if (!point || Math.floor(point[0] / width) !== column) break;
      if (point[1] < (points[low]?.[1] ?? 0)) low = until;
      if (point[1] > (points[high]?.[1] ?? 0)) high = until;
    }
    let last = -1;
    for (const index of [from, low, high, until - 1].sort((a, b) => a - b)) {
      const point = points[index];
      if (index !== last && point) out.push(point);
      last = index;
    }
    from = until;
  }
  return out;
}

function px(value: number): string {
  return String(Math.round(value * 100) / 100);
}

/** Runs as the `d` of an SVG path. */
export function pathOf(runs: readonly (readonly Point[])[]): string {
  return runs
    .map((run) => run.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${px(x)} ${px(y)}`).join(''))
    .join('');
}

/** A closed outline as the `d` of an SVG path. */
export function areaOf(outline: readonly Point[]): string {
  return outline.length > 2 ? `${pathOf([outline])}Z` : '';
}

/** The area between a run moved up and moved down by `half` px. */
export function ribbonAround(run: readonly Point[], half: number): string {
  const up = run.map(([x, y]): Point => [x, y - half]);
  const down = run.map(([x, y]): Point => [x, y + half]).reverse();
  return areaOf([...up, ...down]);
}
