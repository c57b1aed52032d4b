// Wind and angles in a pilot's words.

import { decimals, number, withSigma } from '../shared/format';
import type { Wind } from './path';

const NBSP = '\u00a0';

function three(deg: number): string {
  const whole = Math.round(((deg % 360) + 360) % 360) % 360;
  return `${String(whole === 0 ? 360 : whole).padStart(3, '0')}°`;
}

/** `wind 326° true, 25 ± 3 kt`; `wind light and variable` below a knot or where σ is larger than the wind. */
export function windWords(wind: Wind | undefined): string {
  if (!wind) return 'wind not known';
  if (wind.from_deg === undefined || (wind.sigma_kt !== undefined && wind.kt < wind.sigma_kt)) {
    return `wind too light to tell its direction, ${withSigma(wind.kt, wind.sigma_kt, 'kt')}`;
  }
  return `wind from ${three(wind.from_deg)} true, ${withSigma(wind.kt, wind.sigma_kt, 'kt')}`;
}

/** `38° ± 2° right`, `12° up`; the middle has its own word. */
export function sided(
  value: number,
  sigma: number | null | undefined,
  plus: string,
  minus: string,
  zero: string,
): string {
  if (!Number.isFinite(value)) return 'not known';
  const places = decimals(sigma, 'deg');
  if (!/[1-9]/.test(number(Math.abs(value), places))) return zero;
  return `${withSigma(Math.abs(value), sigma, 'deg')}${NBSP}${value > 0 ? plus : minus}`;
}

/** Without σ: `38° right`. */
export function short(value: number, plus: string, minus: string, zero: string): string {
  const size = number(Math.abs(value));
  return size === '0' ? zero : `${size}°${NBSP}${value > 0 ? plus : minus}`;
}
