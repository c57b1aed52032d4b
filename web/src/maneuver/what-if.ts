// The recovery flown otherwise: what the controls stand at, what is asked of the server, and where lines are drawn.

import { number, withSigma, withUnit } from '../shared/format';
import type { WhatIfChange } from '../shared/api/types';
import type { HeightLedger, WhatIf, WhatIfTrace } from '../flight/document';

/** What the controls stand at. */
export interface Controls {
  readonly unload_s: number;
  readonly power_s: number;
  readonly full_power: boolean;
  readonly flaps_in_steps: boolean;
  readonly climb_kias: number;
}

export type Control = keyof Controls;

/** Controls as flown. Power that never changed stands at what is held against it; it is asked for only when moved. */
export function asFlown(whatIf: WhatIf): Controls {
  return {
    unload_s: tenth(whatIf.flown_unload_s),
    power_s: tenth(whatIf.flown_power_s ?? whatIf.right_power_s),
    full_power: false,
    flaps_in_steps: false,
    climb_kias: Math.round(whatIf.climb_kias),
  };
}

/** Controls with everything done right. */
export function doneRight(whatIf: WhatIf): Controls {
  return {
    unload_s: tenth(whatIf.right_unload_s),
    power_s: tenth(whatIf.right_power_s),
    full_power: true,
    flaps_in_steps: whatIf.flaps_were_out,
    climb_kias: Math.round(whatIf.climb_kias),
  };
}

function tenth(value: number): number {
  return Math.round(value * 10) / 10;
}

/** What is asked: only what was moved; everything else stays as flown. */
export function changeOf(controls: Controls, moved: ReadonlySet<Control>): WhatIfChange {
  return {
    ...(moved.has('unload_s') ? { unload_s: controls.unload_s } : {}),
    ...(moved.has('power_s') ? { power_s: controls.power_s } : {}),
    ...(controls.full_power ? { full_power: true } : {}),
    ...(controls.flaps_in_steps ? { flaps_in_steps: true } : {}),
    ...(moved.has('climb_kias') ? { climb_kias: controls.climb_kias } : {}),
  };
}

/**
 * Ends of the sliders: as flown and done right are both inside, with room beyond. The unloading goes no later than it was
 * flown, because what the airplane would have done then nobody saw.
 */
export function limitsOf(whatIf: WhatIf): Record<'unload_s' | 'power_s' | 'climb_kias', [number, number]> {
  const upTo = (...values: (number | null | undefined)[]): number =>
    Math.min(20, Math.ceil(Math.max(6, ...values.map((value) => (value ?? 0) + 2))));
  const climb = Math.round(whatIf.climb_kias);
  return {
    unload_s: [
      Math.min(0.3, tenth(whatIf.flown_unload_s), tenth(whatIf.right_unload_s)),
      Math.max(1, tenth(whatIf.flown_unload_s), tenth(whatIf.right_unload_s)),
    ],
    power_s: [-1, upTo(whatIf.flown_power_s, whatIf.right_power_s)],
    climb_kias: [Math.max(20, climb - 15), climb + 25],
  };
}

/** Where both traces begin, in words: `the full stall`, `the decision`. */
export function startWords(ledger: HeightLedger | null | undefined): string {
  const title = ledger?.readings.find(({ name }) => name === 'after_30_s')?.title ?? '';
  return title.split('after ')[1] ?? 'the start';
}

/** The start as heights are counted from it: `where it dropped`. */
export function fromWords(start: string): string {
  return start.startsWith('it ') ? `where ${start}` : start;
}

/** The lowest point of a trace with its σ, ft. */
function lowest(trace: Pick<WhatIfTrace, 'height_ft' | 'height_sigma_ft'>): [number, number | undefined] {
  let index = 0;
  for (const [i, value] of trace.height_ft.entries()) if (value < (trace.height_ft[index] ?? 0)) index = i;
  return [trace.height_ft[index] ?? NaN, trace.height_sigma_ft[index]];
}

/** `+60 ± 22 ft`. */
function signed(value: number, sigma?: number): string {
  return `${value >= 0.5 ? '+' : ''}${withSigma(value, sigma, 'ft')}`;
}

/** `−146 ± 23 ft, then +1 ± 23 ft at 30 s`. */
export function traceWords(
  trace: Pick<WhatIfTrace, 'height_ft' | 'height_sigma_ft'>,
  step_s: number,
): string {
  if (trace.height_ft.length === 0) return '';
  const [low, lowSigma] = lowest(trace);
  const end = trace.height_ft.at(-1) ?? NaN;
  const at = withUnit((trace.height_ft.length - 1) * step_s, 0, 's');
  const first = low < -0.5 ? `${withSigma(low, lowSigma, 'ft')}, then ` : '';
  return `${first}${signed(end, trace.height_sigma_ft.at(-1))} at ${at}`;
}

/** The recording alone in the same words. */
export function flownWords(whatIf: WhatIf): string {
  return traceWords({ height_ft: whatIf.flown_height_ft, height_sigma_ft: [] }, whatIf.step_s);
}

/** A plot: where its lines lie, px. */
export interface Plot {
  readonly flown: string;
  readonly trace: string;
  readonly band: string;
  readonly ticks: readonly { readonly y: number; readonly words: string; readonly zero: boolean }[];
  readonly times: readonly { readonly x: number; readonly words: string }[];
  /** Ends of the lines. */
  readonly ends: { readonly flown: number; readonly trace: number | undefined };
}

export interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/**
 * Lines of one quantity over seconds.
 *
 * @param always - Values that the scale holds whatever is drawn, so that it stands still under a moving slider.
 */
export function plotOf(
  flown: readonly number[],
  trace: { readonly value: readonly number[]; readonly sigma: readonly number[] } | undefined,
  step_s: number,
  box: Box,
  always: readonly number[],
): Plot {
  const edges = trace
    ? trace.value.flatMap((value, i) => [value - (trace.sigma[i] ?? 0), value + (trace.sigma[i] ?? 0)])
    : [];
  const values = [...flown, ...edges, ...always].filter(Number.isFinite);
  const [least, most] = [Math.min(...values), Math.max(...values)];
  const margin = Math.max(most - least, 20) * 0.06;
  const [low, high] = [least - margin, most + margin];
  const end_s = Math.max(1, flown.length - 1, (trace?.value.length ?? 1) - 1) * step_s;
  const x = (t: number): number => box.left + ((box.right - box.left) * t) / end_s;
  const y = (value: number): number => box.top + ((box.bottom - box.top) * (high - value)) / (high - low);
  const path = (points: readonly (readonly [number, number])[]): string =>
    points.map(([px, py], i) => `${i === 0 ? 'M' : 'L'}${px.toFixed(1)} ${py.toFixed(1)}`).join('');
  const line = (series: readonly number[]): string =>
    path(series.flatMap((value, i) => (Number.isFinite(value) ? [[x(i * step_s), y(value)] as const] : [])));
  const side = (sign: 1 | -1): (readonly [number, number])[] =>
    (trace?.value ?? []).flatMap((value, i) => {
      const at = value + sign * (trace?.sigma[i] ?? 0);
      return Number.isFinite(at) ? [[x(i * step_s), y(at)] as const] : [];
    });
  const outline = trace ? path([...side(1), ...side(-1).reverse()]) : '';
  const step = roundStep((high - low) / 4);
  const ticks = [];
  for (let value = Math.ceil(low / step) * step; value <= high; value += step) {
    ticks.push({ y: y(value), words: number(value), zero: Math.abs(value) < step / 1e6 });
  }
  const times = [];
  for (let t = 0; t <= end_s + 1e-6; t += 10) times.push({ x: x(t), words: number(t) });
  const lastOf = (series: readonly number[]): number => y(series.at(-1) ?? NaN);
  return {
    flown: line(flown),
    trace: trace ? line(trace.value) : '',
    band: outline === '' ? '' : `${outline}Z`,
    ticks,
    times,
    ends: { flown: lastOf(flown), trace: trace ? lastOf(trace.value) : undefined },
  };
}

/** 1, 2 or 5 times a power of ten, not under `least`. */
function roundStep(least: number): number {
  const power = 10 ** Math.floor(Math.log10(Math.max(least, 1)));
  return [1, 2, 5, 10].map((one) => one * power).find((one) => one >= least) ?? 10 * power;
}

/** Two labels kept `apart`, the upper one first. */
export function apartBy(
  a: number,
  b: number | undefined,
  apart: number,
): readonly [number, number | undefined] {
  if (b === undefined || !Number.isFinite(b) || Math.abs(a - b) >= apart) return [a, b];
  const middle = (a + b) / 2;
  return a <= b ? [middle - apart / 2, middle + apart / 2] : [middle + apart / 2, middle - apart / 2];
}
