// The path in space as triangles and lines, without any drawing library: meters east, up and south (a right-handed
// frame whose y is up), zero at the flight's origin and on the ground.

import type { Series } from '../flight/series';
import { FT_PER_M } from './path';
import { keep, runs, type Miss } from './thin';

/** The line that is drawn is nowhere, at no moment, farther from the recorded one than this. */
export const BOUND_FT = 5;
/** Nor is the bank that the ribbon shows. */
export const BOUND_DEG = 3;

/** The path, thinned: one entry a kept sample. */
export interface Path3d {
  readonly t: Float64Array;
  /** Three numbers a point. */
  readonly place: Float64Array;
  readonly bank_rad: Float64Array;
  /** Direction of flight over the ground, rad from north through east. */
  readonly course_rad: Float64Array;
  /** First and last entry of each unbroken run. */
  readonly runs: readonly (readonly [number, number])[];
  /** What the heights count from. */
  readonly base: 'ground' | 'lowest';
  /** Samples of the recording that the path stands for. */
  readonly samples: number;
  /** Radius around the middle, m. */
  readonly radius: number;
  readonly middle: readonly [number, number, number];
}

interface Sources {
  readonly east: Float32Array;
  readonly north: Float32Array;
  readonly up_m: Float64Array;
  readonly bank_deg: Float32Array | undefined;
  readonly base: 'ground' | 'lowest';
}

function sources(series: Series): Sources | undefined {
  const east = series.column('east_m')?.values;
  const north = series.column('north_m')?.values;
  const agl = series.column('agl_ft');
  const height = agl ?? series.column('height_ft') ?? series.column('altitude_ft');
  if (!east || !north || !height) return undefined;
  const zero = agl ? 0 : (height.header.low ?? 0);
  return {
    east,
    north,
    up_m: Float64Array.from(height.values, (ft) => (ft - zero) / FT_PER_M),
    bank_deg: series.column('bank_deg')?.values,
    base: agl ? 'ground' : 'lowest',
  };
}

/** The whole flight's path; nothing where no position or no height was recorded. */
export function path3d(series: Series): Path3d | undefined {
  const from = sources(series);
  if (!from) return undefined;
  const known = (i: number): boolean =>
    Number.isFinite((from.east[i] ?? NaN) + (from.north[i] ?? NaN) + (from.up_m[i] ?? NaN));
  const kept: number[] = [];
  const ranges: [number, number][] = [];
  const miss = missOf(from);
  for (const [first, last] of runs(series.len, known)) {
    const some = keep(first, last, miss);
    ranges.push([kept.length, kept.length + some.length - 1]);
    kept.push(...some);
  }
  if (kept.length === 0) return undefined;
  return built(series, from, kept, ranges);
}

function missOf({ east, north, up_m, bank_deg }: Sources): Miss {
  const bound_m = BOUND_FT / FT_PER_M;
  const lines = [east, north, up_m];
  return (i, a, b) => {
    const share = (i - a) / (b - a);
    let square = 0;
    for (const values of lines) {
      const at = values[a] ?? NaN;
      const off = (values[i] ?? NaN) - at - share * ((values[b] ?? NaN) - at);
      square += off * off;
    }
    const place = Math.sqrt(square) / bound_m;
    if (!bank_deg) return place;
    const at = bank_deg[a] ?? NaN;
    const tilt = Math.abs((bank_deg[i] ?? NaN) - at - share * ((bank_deg[b] ?? NaN) - at)) / BOUND_DEG;
    // An unknown bank bounds nothing.
    return tilt > place ? tilt : place;
  };
}

function built(series: Series, from: Sources, kept: number[], ranges: [number, number][]): Path3d {
  const n = kept.length;
  const place = new Float64Array(3 * n);
  const bank_rad = new Float64Array(n);
  const course_rad = new Float64Array(n);
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  kept.forEach((i, k) => {
    const point = [from.east[i] ?? 0, from.up_m[i] ?? 0, -(from.north[i] ?? 0)];
    point.forEach((value, axis) => {
      place[3 * k + axis] = value;
      low[axis] = Math.min(low[axis] ?? 0, value);
      high[axis] = Math.max(high[axis] ?? 0, value);
    });
    const bank = from.bank_deg?.[i] ?? NaN;
    bank_rad[k] = Number.isFinite(bank) ? (bank * Math.PI) / 180 : 0;
  });
  for (const [first, last] of ranges) courses(place, course_rad, first, last);
  const middle = [0, 1, 2].map((axis) => ((low[axis] ?? 0) + (high[axis] ?? 0)) / 2) as [
    number,
    number,
    number,
  ];
  const radius = Math.max(
    Math.hypot(...[0, 1, 2].map((axis) => (high[axis] ?? 0) - (low[axis] ?? 0))) / 2,
    50,
  );
  return {
    t: Float64Array.from(kept, (i) => series.time(i)),
    place,
    bank_rad,
    course_rad,
    runs: ranges,
    base: from.base,
    samples: series.len,
    radius,
    middle,
  };
}

/** Directions over the ground from neighbor to neighbor; where nothing moves, the direction before stays. */
function courses(place: Float64Array, out: Float64Array, first: number, last: number): void {
  let course = 0;
  for (let k = first; k <= last; k += 1) {
    const a = Math.max(k - 1, first);
    const b = Math.min(k + 1, last);
    const east = (place[3 * b] ?? 0) - (place[3 * a] ?? 0);
    const north = -((place[3 * b + 2] ?? 0) - (place[3 * a + 2] ?? 0));
    if (Math.hypot(east, north) > 1e-6) course = Math.atan2(east, north);
    out[k] = course;
  }
}

/** From the middle to the right wing tip, as long as `half`: level across the course, then banked. */
export function rightWing(course_rad: number, bank_rad: number, half: number): [number, number, number] {
  const across = half * Math.cos(bank_rad);
  return [across * Math.cos(course_rad), -half * Math.sin(bank_rad), across * Math.sin(course_rad)];
}

/** Vertices, three numbers each, and triangles or line ends by vertex. */
export interface Shape {
  readonly vertices: Float32Array;
  readonly index: Uint32Array;
}

/** Entries of the path between two times, as runs. */
export function within(path: Path3d, from_s: number, to_s: number): [number, number][] {
  return path.runs.flatMap(([first, last]): [number, number][] => {
    let a = first;
    let b = last;
    while (a < last && (path.t[a + 1] ?? 0) <= from_s) a += 1;
    while (b > first && (path.t[b - 1] ?? 0) >= to_s) b -= 1;
    return b > a ? [[a, b]] : [];
  });
}

/** The ribbon that the wings leave, `half` m to either side. */
export function ribbon(path: Path3d, ranges: readonly (readonly [number, number])[], half: number): Shape {
  return strip(ranges, (k) => {
    const wing = rightWing(path.course_rad[k] ?? 0, path.bank_rad[k] ?? 0, half);
    const at = pointOf(path, k);
    return [
      [at[0] - wing[0], at[1] - wing[1], at[2] - wing[2]],
      [at[0] + wing[0], at[1] + wing[1], at[2] + wing[2]],
    ];
  });
}

/** From the path down to the ground. */
export function curtain(path: Path3d, ranges: readonly (readonly [number, number])[]): Shape {
  return strip(ranges, (k) => {
    const at = pointOf(path, k);
    return [at, [at[0], 0, at[2]]];
  });
}

type Point = readonly [number, number, number];

export function pointOf(path: Path3d, k: number): Point {
  return [path.place[3 * k] ?? 0, path.place[3 * k + 1] ?? 0, path.place[3 * k + 2] ?? 0];
}

function strip(
  ranges: readonly (readonly [number, number])[],
  pair: (k: number) => readonly [Point, Point],
): Shape {
  const count = ranges.reduce((sum, [a, b]) => sum + b - a + 1, 0);
  const vertices = new Float32Array(6 * count);
  const index = new Uint32Array(6 * Math.max(count - ranges.length, 0));
  let v = 0;
  let i = 0;
  for (const [first, last] of ranges) {
    for (let k = first; k <= last; k += 1) {
      const [a, b] = pair(k);
      vertices.set([...a, ...b], 3 * v);
      if (k < last) {
        index.set([v, v + 1, v + 2, v + 1, v + 3, v + 2], i);
        i += 6;
      }
      v += 2;
    }
  }
  return { vertices, index };
}

/** The path itself, or its shadow on the ground, as separate pieces of line. */
export function line(path: Path3d, ranges: readonly (readonly [number, number])[], shadow = false): Shape {
  const vertices: number[] = [];
  const index: number[] = [];
  for (const [first, last] of ranges) {
    for (let k = first; k <= last; k += 1) {
      const [x, y, z] = pointOf(path, k);
      if (k < last) index.push(vertices.length / 3, vertices.length / 3 + 1);
      vertices.push(x, shadow ? 0 : y, z);
    }
  }
  return { vertices: Float32Array.from(vertices), index: Uint32Array.from(index) };
}

/** Where the aircraft is at a time, on the drawn line. */
export interface Pose {
  readonly place: Point;
  readonly course_rad: number;
  readonly bank_rad: number;
}

export function poseAt(path: Path3d, t: number): Pose | undefined {
  const run = path.runs.find(([a, b]) => t >= (path.t[a] ?? 0) - 0.5 && t <= (path.t[b] ?? 0) + 0.5);
  if (!run) return undefined;
  let [a, b] = run;
  while (b - a > 1) {
    const middle = (a + b) >> 1;
    if ((path.t[middle] ?? 0) <= t) a = middle;
    else b = middle;
  }
  const span = (path.t[b] ?? 0) - (path.t[a] ?? 0);
  const share = span > 0 ? Math.min(Math.max((t - (path.t[a] ?? 0)) / span, 0), 1) : 0;
  const mix = (values: ArrayLike<number>, i: number, j: number): number =>
    (values[i] ?? 0) + share * ((values[j] ?? 0) - (values[i] ?? 0));
  const place = [0, 1, 2].map((axis) => mix(path.place, 3 * a + axis, 3 * b + axis)) as [
    number,
    number,
    number,
  ];
  const from = path.course_rad[a] ?? 0;
  const turn = (path.course_rad[b] ?? 0) - from;
  const short = turn - 2 * Math.PI * Math.round(turn / (2 * Math.PI));
  return { place, course_rad: from + share * short, bank_rad: mix(path.bank_rad, a, b) };
}

/** Middle and radius of a part of the path. */
export function extent(
  path: Path3d,
  ranges: readonly (readonly [number, number])[],
): { middle: Point; radius: number } {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (const [first, last] of ranges) {
    for (let k = first; k <= last; k += 1) {
      pointOf(path, k).forEach((value, axis) => {
        low[axis] = Math.min(low[axis] ?? 0, value);
        high[axis] = Math.max(high[axis] ?? 0, value);
      });
    }
  }
  if (!Number.isFinite(low[0] ?? NaN)) return { middle: path.middle, radius: path.radius };
  const middle = [0, 1, 2].map((axis) => ((low[axis] ?? 0) + (high[axis] ?? 0)) / 2) as [
    number,
    number,
    number,
  ];
  return {
    middle,
    radius: Math.max(Math.hypot(...[0, 1, 2].map((axis) => (high[axis] ?? 0) - (low[axis] ?? 0))) / 2, 50),
  };
}
