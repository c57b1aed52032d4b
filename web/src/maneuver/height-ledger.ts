// Where the height went: shares in whole feet that add up, as steps along one scale, and in words.
// The printed sheet draws and says the same (crates/press/src/ledger_chart.rs).

import { capital, number, withUnit } from '../shared/format';
import type { HeightLedger, LedgerReading } from '../flight/document';

const NBSP = '\u00a0';
/** 95 of 100 of a normal distribution lie within so many σ. Source: ISO 3534-1. */
const REACH = 1.96;

/** A reading in whole feet: `any` and `lines` add up to `lost`. */
export interface WholeFeet {
  readonly lost: number;
  readonly any: number;
  readonly lines: readonly number[];
}

/** Whole feet by largest remainder: who adds up what is shown comes to the loss that is shown. */
export function wholeFeet(reading: LedgerReading): WholeFeet | undefined {
  const parts = [reading.any_recovery.value, ...reading.lines.map(({ cost }) => cost.value)];
  if (![...parts, reading.lost.value].every(Number.isFinite)) return undefined;
  const lost = rounded(reading.lost.value);
  const whole = parts.map(Math.floor);
  const missing = lost - whole.reduce((sum, one) => sum + one, 0);
  const rest = (index: number): number => (parts[index] ?? 0) - (whole[index] ?? 0);
  const order = parts.map((_, index) => index).sort((a, b) => rest(b) - rest(a));
  const raised = new Set(order.slice(0, Math.max(missing, 0)));
  const [any = 0, ...lines] = whole.map((feet, index) => (raised.has(index) ? feet + 1 : feet));
  return { lost, any, lines };
}

/** Halves away from zero, as the printed sheet rounds. */
function rounded(value: number): number {
  // A zero without a sign.
  return Math.sign(value) * Math.round(Math.abs(value)) + 0;
}

/** One line of a reading: feet along the scale, and words. */
export interface Step {
  readonly kind: 'any' | 'cause' | 'total';
  readonly name: string;
  readonly from: number;
  readonly to: number;
  /** The true share lies between these 95 times in 100. */
  readonly whisker: readonly [number, number];
  /** `96`, `−12`. */
  readonly feet: string;
  /** ` ± 31`; empty without a σ. */
  readonly sigma: string;
  /** `helped`, `perhaps helped`, `gained`; empty where it cost height. */
  readonly word: string;
}

/** Steps of a reading, each beginning where the one before ended; none where a number is not one. */
export function stepsOf(reading: LedgerReading): Step[] {
  const whole = wholeFeet(reading);
  if (!whole) return [];
  const any = reading.any_recovery;
  const out: Step[] = [
    {
      kind: 'any',
      name: capital(reading.any_title),
      from: 0,
      to: any.value,
      whisker: about(any.value, any.sigma),
      feet: number(whole.any),
      sigma: sigmaWords(any.sigma),
      word: whole.any < 0 ? 'gained' : '',
    },
  ];
  let at = any.value;
  for (const [index, line] of reading.lines.entries()) {
    const feet = whole.lines[index] ?? 0;
    const [low = 0, high = 0] = line.interval_ft;
    out.push({
      kind: 'cause',
      name: capital(line.title),
      from: at,
      to: at + line.cost.value,
      whisker: [at + low, at + high],
      feet: number(feet),
      sigma: sigmaWords(line.cost.sigma),
      // What cannot be told from nothing is not praised.
      word: feet >= 0 ? '' : high < 0 ? 'helped' : 'perhaps helped',
    });
    at += line.cost.value;
  }
  out.push({
    kind: 'total',
    name: 'Height lost',
    from: 0,
    to: reading.lost.value,
    whisker: about(reading.lost.value, reading.lost.sigma),
    feet: number(whole.lost),
    sigma: sigmaWords(reading.lost.sigma),
    word: whole.lost < 0 ? 'gained' : '',
  });
  return out;
}

function about(value: number, sigma: number | null | undefined): readonly [number, number] {
  const reach = REACH * (Number.isFinite(sigma) ? Math.max(sigma ?? 0, 0) : 0);
  return [value - reach, value + reach];
}

/** A σ that rounds to nothing would read as certainty: the number stands alone then. */
function sigmaWords(sigma: number | null | undefined): string {
  return typeof sigma === 'number' && sigma >= 0.5 ? `${NBSP}±${NBSP}${number(sigma)}` : '';
}

/** Feet to shares of a width, 0 to 100: every reading has the same feet per share, and its own zero. */
export interface FeetScale {
  readonly at: (feet: number) => number;
}

/** Least and greatest foot of steps, zero included. */
export function rangeOf(steps: readonly Step[]): readonly [number, number] {
  const feet = steps.flatMap(({ from, to, whisker }) => [from, to, ...whisker]).filter(Number.isFinite);
  return [Math.min(0, ...feet), Math.max(0, ...feet)];
}

/** One scale a reading, of the same feet per px. */
export function scalesOf(readings: readonly (readonly Step[])[]): FeetScale[] {
  const ranges = readings.map(rangeOf);
  const span = Math.max(1, ...ranges.map(([low, high]) => high - low));
  return ranges.map(([low]) => ({ at: (feet) => 2 + (96 * (feet - low)) / span }));
}

/** `Where the 265 ft went`. */
export function ledgerTitle(ledger: HeightLedger): string {
  const [first] = ledger.readings;
  const whole = first && wholeFeet(first);
  return whole && whole.lost > 0
    ? `Where the ${withUnit(whole.lost, 0, 'ft')} went`
    : 'Where the height went';
}

/** `From the full stall to the lowest point, 13.0 s`; a title that names its seconds needs no second telling. */
export function readingTitle(reading: LedgerReading): string {
  const title = capital(reading.title);
  return /\d/.test(title) || !Number.isFinite(reading.seconds)
    ? `${title}, ft`
    : `${title}, ${withUnit(reading.seconds, 1, 's')}, ft`;
}

/** How each cause reads when the order does not count: `kept stalled 108, power late 21`. */
export function orderlessWords(reading: LedgerReading): string {
  return reading.lines
    .flatMap(({ title, orderless_ft: feet }) =>
      typeof feet === 'number' && Number.isFinite(feet) ? [`${title}${NBSP}${number(feet)}`] : [],
    )
    .join(', ');
}

/** How it is read. */
export const HOW =
  'The height lost is measured, the shares are derived. Numbers are ± 1σ; a whisker holds the true share 95 times in ' +
  '100, and one that reaches back past the start of its bar cannot be told from nothing. Causes stand in the order in ' +
  'which they were put right, one after the other: another order moves feet among them, never the sum.';
