// Where the aircraft went: over the ground, and through the air that moved meanwhile. Pure, so that it is tested
// without a page. Meters east and north of the flight's origin; a sample that is not known is NaN.

import type { Series } from '../flight/series';

/** Meters per second in a knot. Source: the international nautical mile, 1,852 m, in an hour. */
export const MPS_PER_KT = 1852 / 3600;
/** Feet in a meter. Source: the international foot, 0.3048 m exactly. */
export const FT_PER_M = 1 / 0.3048;

/** One stretch of a flight, a sample at `t0 + i × step_s`. */
export interface Paths {
  readonly t0: number;
  readonly step_s: number;
  readonly length: number;
  /** Over the ground, m. */
  readonly east: Float64Array;
  readonly north: Float64Array;
  /** Through the air, m, beginning where the path over the ground begins; none where the wind is not known. */
  readonly air: { readonly east: Float64Array; readonly north: Float64Array } | undefined;
}

export interface Spot {
  readonly east: number;
  readonly north: number;
}

/** The wind of a stretch, as pilots say it. */
export interface Wind {
  /** Where it comes from, degrees true; undefined where it is too light to have a direction. */
  readonly from_deg: number | undefined;
  readonly kt: number;
  /** 1-σ of a component, kt. */
  readonly sigma_kt: number | undefined;
  /** Toward, kt. */
  readonly east_kt: number;
  readonly north_kt: number;
}

function slice(series: Series, id: string, first: number, length: number): Float32Array | undefined {
  return series.column(id)?.values.subarray(first, first + length);
}

/** Both paths between two times; nothing where no position was recorded. */
export function pathsOf(series: Series, from_s: number, to_s: number): Paths | undefined {
  const first = series.index(from_s);
  const length = Math.max(series.index(to_s) - first + 1, 0);
  const east = slice(series, 'east_m', first, length);
  const north = slice(series, 'north_m', first, length);
  if (!east || !north || !east.some(Number.isFinite)) return undefined;
  const ground = { east: Float64Array.from(east), north: Float64Array.from(north) };
  return {
    t0: series.time(first),
    step_s: series.step_s,
    length,
    ...ground,
    air: airPath(
      ground,
      slice(series, 'wind_east_kt', first, length),
      slice(series, 'wind_north_kt', first, length),
      series.step_s,
    ),
  };
}

/**
 * The path through the air: the path over the ground without what the wind carried, ∫ wind dt by trapezoids from the
 * first sample. A sample without wind takes the stretch's mean; a stretch without any has no path through the air.
 */
export function airPath(
  ground: { readonly east: Float64Array; readonly north: Float64Array },
  windEast_kt: ArrayLike<number> | undefined,
  windNorth_kt: ArrayLike<number> | undefined,
  step_s: number,
): { east: Float64Array; north: Float64Array } | undefined {
  const east = windEast_kt && carried(ground.east, windEast_kt, step_s);
  const north = windNorth_kt && carried(ground.north, windNorth_kt, step_s);
  return east && north ? { east, north } : undefined;
}

function carried(ground: Float64Array, wind_kt: ArrayLike<number>, step_s: number): Float64Array | undefined {
  const mean = meanOf(wind_kt);
  if (mean === undefined) return undefined;
  const wind = (i: number): number => {
    const value = wind_kt[i] ?? NaN;
    return Number.isFinite(value) ? value : mean;
  };
  let drift_m = 0;
  return ground.map((at, i) => {
    if (i > 0) drift_m += ((wind(i - 1) + wind(i)) / 2) * MPS_PER_KT * step_s;
    return at - drift_m;
  });
}

function meanOf(values: ArrayLike<number>): number | undefined {
  let sum = 0;
  let count = 0;
  for (const value of Array.from(values)) {
    if (!Number.isFinite(value)) continue;
    sum += value;
    count += 1;
  }
  return count > 0 ? sum / count : undefined;
}

/** The mean wind between two times. */
export function windOf(series: Series, from_s: number, to_s: number): Wind | undefined {
  const first = series.index(from_s);
  const length = Math.max(series.index(to_s) - first + 1, 0);
  const east_kt = meanOf(slice(series, 'wind_east_kt', first, length) ?? []);
  const north_kt = meanOf(slice(series, 'wind_north_kt', first, length) ?? []);
  if (east_kt === undefined || north_kt === undefined) return undefined;
  const kt = Math.hypot(east_kt, north_kt);
  const from = (Math.atan2(-east_kt, -north_kt) * 180) / Math.PI;
  const sigmas = ['wind_east_kt', 'wind_north_kt']
    .map((id) => series.column(id)?.header.sigma)
    .filter((sigma) => sigma !== null && sigma !== undefined);
  return {
    from_deg: kt < 1 ? undefined : (from + 360) % 360,
    kt,
    sigma_kt: sigmas.length > 0 ? Math.max(...sigmas) : undefined,
    east_kt,
    north_kt,
  };
}

/** Where a path is at a time, between samples on the straight line; undefined outside and in a hole. */
export function spotAt(paths: Paths, t: number, which: 'ground' | 'air'): Spot | undefined {
  const path = which === 'air' ? paths.air : paths;
  const place = (t - paths.t0) / paths.step_s;
  if (!path || !(place >= -0.5) || place > paths.length - 0.5) return undefined;
  const inside = Math.min(Math.max(place, 0), paths.length - 1);
  const i = Math.floor(inside);
  const share = inside - i;
  const mix = (values: Float64Array): number => {
    const here = values[i] ?? NaN;
    return share < 1e-9 ? here : here + share * ((values[i + 1] ?? NaN) - here);
  };
  const east = mix(path.east);
  const north = mix(path.north);
  return Number.isFinite(east + north) ? { east, north } : undefined;
}

/**
 * Degrees through which the direction of flight ranged, least to greatest: how much of a turn there was. Undefined
 * where no direction is known.
 */
export function turned_deg(series: Series, from_s: number, to_s: number): number | undefined {
  for (const id of ['air_track_deg', 'track_deg', 'heading_deg']) {
    const found = series.extremes(id, from_s, to_s);
    if (found) return found.high - found.low;
  }
  return undefined;
}

/** Heading over the map at a time, degrees true: where the nose points, else where it flies. */
export function headingTrue_deg(series: Series, t: number): number | undefined {
  const magnetic = series.at('heading_deg', t) + (series.header.variation_deg ?? NaN);
  return [magnetic, series.at('air_track_deg', t), series.at('track_deg', t)].find(Number.isFinite);
}
