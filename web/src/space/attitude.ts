// What the nose and the wings did, as numbers and as lines to draw. Pure.

import type { Maneuver } from '../flight/document';
import type { Column, Series, SeriesHeader } from '../flight/series';
import { decimals, number, withSigma } from '../shared/format';
import { sided, short } from './words';

export interface Reading {
  readonly value: number;
  readonly sigma: number | null;
  /** `measured`, `derived`, `assumed`. */
  readonly origin: string;
}

/** What is known of the attitude at a moment; a quantity that the recorder could not support is absent. */
export interface Attitude {
  readonly pitch: Reading | undefined;
  readonly bank: Reading | undefined;
  /** Flight path through the air, degrees, up positive. */
  readonly path: Reading | undefined;
  readonly aoa: Reading | undefined;
  /** Lateral load, g, positive when the body feels pushed to the right: the ball goes the same way. */
  readonly ball: Reading | undefined;
}

function reading(series: Series, id: string, t: number): Reading | undefined {
  const column: Column | undefined = series.column(id);
  const value = series.at(id, t);
  if (!column || !Number.isFinite(value)) return undefined;
  return { value, sigma: column.header.sigma, origin: column.header.origin };
}

export function attitudeAt(series: Series, t: number): Attitude {
  return {
    pitch: reading(series, 'pitch_deg', t),
    bank: reading(series, 'bank_deg', t),
    path: reading(series, 'path_deg', t),
    aoa: reading(series, 'aoa_deg', t),
    ball: reading(series, 'lateral_g', t),
  };
}

/** The wing's critical angle of attack, flaps up, degrees, from the aircraft file. */
export function critical_deg(header: SeriesHeader): number | undefined {
  const { critical_aoa_deg } = header as SeriesHeader & { readonly critical_aoa_deg?: number | null };
  return critical_aoa_deg ?? undefined;
}

/** Degrees above and below the horizon that the picture must hold: what was flown, and no less than 25. */
export function pitchRange(series: Series, from_s: number, to_s: number): number {
  const found = series.extremes('pitch_deg', from_s, to_s);
  const most = found ? Math.max(Math.abs(found.low), Math.abs(found.high)) : 0;
  return Math.min(Math.max(Math.ceil((most + 6) / 5) * 5, 25), 90);
}

/** The nose against the horizon: degrees right of where it points now, and degrees up. */
export interface TrailPoint {
  readonly right_deg: number;
  readonly up_deg: number;
}

/** Where the nose was in the seconds before a time, oldest first, at most some sixty points; broken off at a hole. */
export function trail(series: Series, t: number, seconds: number): TrailPoint[] {
  const heading = series.column('heading_deg') ?? series.column('air_track_deg');
  const pitch = series.column('pitch_deg');
  if (!heading || !pitch) return [];
  const now = series.at(heading.header.id, t);
  const out: TrailPoint[] = [{ right_deg: 0, up_deg: series.at('pitch_deg', t) }];
  const step = Math.max(seconds / 60, series.step_s);
  for (let back = step; back <= seconds + 1e-9; back += step) {
    if (t - back < 0) break;
    const right_deg = series.at(heading.header.id, t - back) - now;
    const up_deg = series.at('pitch_deg', t - back);
    if (!Number.isFinite(right_deg + up_deg)) break;
    out.push({ right_deg, up_deg });
  }
  return Number.isFinite(now + (out[0]?.up_deg ?? NaN)) ? out.reverse() : [];
}

/**
 * An arc around a point as the `d` of an SVG path: angles in degrees, 0 to the right and positive upward; the short way
 * from one to the other.
 */
export function arc(cx: number, cy: number, r: number, from_deg: number, to_deg: number): string {
  const point = (deg: number): string => {
    const rad = (deg * Math.PI) / 180;
    return `${(cx + r * Math.cos(rad)).toFixed(1)} ${(cy - r * Math.sin(rad)).toFixed(1)}`;
  };
  const large = Math.abs(to_deg - from_deg) > 180 ? 1 : 0;
  const sweep = to_deg > from_deg ? 0 : 1;
  return `M${point(from_deg)}A${String(r)} ${String(r)} 0 ${String(large)} ${String(sweep)} ${point(to_deg)}`;
}

/** {@link arc} closed to its center: a slice. */
export function slice(cx: number, cy: number, r: number, from_deg: number, to_deg: number): string {
  return `${arc(cx, cy, r, from_deg, to_deg)}L${cx.toFixed(1)} ${cy.toFixed(1)}Z`;
}

/**
 * The path through the air, degrees, at which the wing reaches an angle of attack with nose and wings where they are.
 * sin γ = sin θ cos α − cos φ cos θ sin α without sideslip. Source: B. Etkin, L. Reid, "Dynamics of Flight", 1996, ch. 4.
 */
export function pathAt(pitch_deg: number, bank_deg: number, aoa_deg: number): number {
  const [pitch, bank, aoa] = [pitch_deg, bank_deg, aoa_deg].map((deg) => (deg * Math.PI) / 180) as [
    number,
    number,
    number,
  ];
  const sine = Math.sin(pitch) * Math.cos(aoa) - Math.cos(bank) * Math.cos(pitch) * Math.sin(aoa);
  return (Math.asin(Math.min(Math.max(sine, -1), 1)) * 180) / Math.PI;
}

/** The ball's limit in g where the standard's mark has one. */
export function ballLimit(maneuver: Maneuver | undefined): number | undefined {
  const mark = maneuver?.marks.find((one) => one.criterion === 'coordination' && one.unit === 'g');
  return mark?.high ?? undefined;
}

export interface Line {
  readonly id: string;
  readonly name: string;
  readonly words: string;
  readonly more: string;
}

function from(reading: Reading): string {
  return reading.origin === 'measured' ? '' : reading.origin;
}

/** The block of words under the drawings. */
export function attitudeLines(now: Attitude, critical: number | undefined): Line[] {
  const out: Line[] = [];
  const add = (id: string, name: string, words: string, ...more: string[]): void => {
    out.push({ id, name, words, more: more.filter((one) => one !== '').join(', ') });
  };
  const { pitch, bank, path, aoa, ball } = now;
  if (bank) add('bank', 'bank', sided(bank.value, bank.sigma, 'right', 'left', 'level'), from(bank));
  if (pitch)
    add('pitch', 'nose', sided(pitch.value, pitch.sigma, 'up', 'down', 'on the horizon'), from(pitch));
  if (path) add('path', 'path', sided(path.value, path.sigma, 'up', 'down', 'level'), from(path));
  if (aoa) {
    const against = critical === undefined ? '' : `critical ${number(critical)}°, flaps up`;
    add('aoa', 'angle of attack', withSigma(aoa.value, aoa.sigma, 'deg'), against, from(aoa));
  }
  if (ball) {
    const places = decimals(ball.sigma, 'g');
    const zero = !/[1-9]/.test(number(Math.abs(ball.value), places));
    const side = zero ? '' : ball.value > 0 ? ' right' : ' left';
    add('ball', 'ball', `${withSigma(Math.abs(ball.value), ball.sigma, 'g')}${side}`, from(ball));
  }
  return out;
}

/** One sentence for who listens: what nose and wings do. */
export function spokenAttitude(now: Attitude): string {
  const parts = [
    now.bank ? `bank ${short(now.bank.value, 'right', 'left', 'level')}` : '',
    now.pitch ? `nose ${short(now.pitch.value, 'up', 'down', 'on the horizon')}` : '',
    now.path ? `path ${short(now.path.value, 'up', 'down', 'level')}` : '',
    now.aoa ? `angle of attack ${number(now.aoa.value)}°` : '',
  ].filter((part) => part !== '');
  return parts.length > 0 ? parts.join(', ') : 'no attitude was recorded';
}
