// Scales of values: room around what was flown, and ticks at round numbers.

import { number } from './numbers';

export type Range = readonly [low: number, high: number];

export interface ValueTick {
  readonly value: number;
  readonly words: string;
}

/** Room above and below, and at least a span that keeps noise from looking like flying. */
export function padded(least: number, greatest: number, span: number): Range {
  const missing = Math.max(span - (greatest - least), 0) / 2;
  const margin = Math.max(greatest - least, span) * 0.08;
  return [least - missing - margin, greatest + missing + margin];
}

/** Up to about `most` round ticks inside a scale. */
export function nice([low, high]: Range, most: number): ValueTick[] {
  const span = high - low;
  if (!(span > 0 && Number.isFinite(span))) return [];
  let step = 10 ** Math.floor(Math.log10(span / most));
  while (span / step > most + 1.6) {
    const isTwo = Math.abs(step / 10 ** Math.floor(Math.log10(step) + 1e-9) - 2) < 0.1;
    step *= isTwo ? 2.5 : 2;
  }
  const ticks: ValueTick[] = [];
  for (let n = Math.ceil(low / step); n * step <= high && ticks.length < 12; n += 1) {
    ticks.push({ value: n * step, words: number(n * step, step < 1 ? 2 : 0) });
  }
  return ticks;
}

/** Zero, and the round number nearest to each end. */
export function niceWithZero([low, high]: Range): ValueTick[] {
  const ticks = [{ value: 0, words: '0' }];
  for (const end of [low, high]) {
    const step = Math.abs(end) >= 20 ? 10 : 5;
    const value = Math.trunc(end / step) * step;
    if (value !== 0 && Number.isFinite(value)) ticks.push({ value, words: number(value, 0) });
  }
  return ticks;
}

/** A scale whose zero lies where the panel's does, `most` filling the longer side. */
export function mirror([low, high]: Range, most: number): Range {
  const unit = Math.max(high, -low, 1e-6) / most;
  return [low / unit, high / unit];
}

/** A value's y in a plot from `top` downward. */
export function level(value: number, [low, high]: Range, top: number, height: number): number {
  return top + (height * (high - value)) / Math.max(high - low, 1e-9);
}
