// What the flight says of its aircraft, in words: figures beside the aircraft file's, and what is not shown and why.

import { number, withSigma } from '../shared/format';
import type { FitOfTheDay, FitPoint, FitRow } from './document';
import type { Reason } from './whole-flight';

const NBSP = '\u00a0';

/** What has a value. */
export function shown(fit: FitOfTheDay): FitRow[] {
  return fit.rows.filter(({ flown }) => typeof flown === 'number');
}

/** `77 ± 2 kt`. */
export function flownWords(row: FitRow): string {
  return typeof row.flown === 'number' ? withSigma(row.flown, row.sigma, row.unit) : '';
}

/** What the aircraft file has, `74 kt`. */
export function fileWords(row: FitRow): string {
  return typeof row.file === 'number' ? `${number(row.file, 0)}${NBSP}${row.unit}` : '';
}

/** What has none, each reason once. */
export function notShown(fit: FitOfTheDay): Reason[] {
  const byWhy = new Map<string, string[]>();
  for (const { name, flown, reason } of fit.rows) {
    if (typeof flown === 'number') continue;
    const why = reason ?? 'the flight does not show it';
    byWhy.set(why, [...(byWhy.get(why) ?? []), name]);
  }
  return [...byWhy].map(([why, names]) => ({ why, what: names.join('; ') }));
}

/** Drag and thrust at a point, and the climb that follows. */
export function pointWords(point: FitPoint): string {
  const drag = withSigma(100 * point.drag, 100 * point.drag_sigma, '%');
  const thrust = withSigma(100 * point.thrust, 100 * point.thrust_sigma, '%');
  const climb = withSigma(point.climb_fpm, point.climb_sigma_fpm, 'ft/min');
  return `${number(point.speed_kt, 0)}${NBSP}kt: drag ${drag} and thrust ${thrust} of the weight, climb ${climb}`;
}
