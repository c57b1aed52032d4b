// Said and recorded on one scale: an open ring for what was said, a bar ± 1σ for what was recorded, their words above
// and kept apart. A pure function of the numbers and the width.

import { spread } from '../../../flight/axis';
import { number, withUnit } from '../../../shared/format';
import type { NumberQuestion } from './questions';

export interface ScaleLayout {
  readonly x: (value: number) => number;
  readonly left: number;
  readonly right: number;
  readonly ticks: readonly { x: number; words: string; anchor: 'start' | 'middle' | 'end' }[];
  /** The bar's edges; none = nothing to show. */
  readonly bar: { x0: number; x1: number; at: number };
  readonly ring: number | undefined;
  /** Middle of the words above. */
  readonly saidAt: number;
  readonly recordedAt: number;
}

export interface ScaleInput {
  readonly question: Pick<NumberQuestion, 'low' | 'high' | 'step' | 'sides' | 'unit' | 'recorded'>;
  readonly said: number | undefined;
  readonly width: number;
  readonly saidWidth: number;
  readonly recordedWidth: number;
}

const INSET = 14;

export function scaleLayout({ question, said, width, saidWidth, recordedWidth }: ScaleInput): ScaleLayout {
  const { value, sigma } = question.recorded;
  const doubt = sigma !== null && Number.isFinite(sigma) ? sigma : 0;
  const [low, high] = range(question, [value, ...(said === undefined ? [] : [said])]);
  const left = INSET;
  const right = Math.max(width - INSET, left + 1);
  const x = (one: number): number => left + ((one - low) / (high - low)) * (right - left);
  const ring = said === undefined ? undefined : x(said);
  const at = x(value);
  const half = Math.max((doubt / (high - low)) * (right - left), 3);
  const [saidAt, recordedAt] = apart(
    ring ?? at,
    at,
    ring === undefined ? 0 : saidWidth,
    recordedWidth,
    width,
  );
  return {
    x,
    left,
    right,
    ticks: ticksOf(low, high, question).map((tick) => ({ ...tick, x: x(tick.value) })),
    // What is not sure may reach past the scale; the bar ends there.
    bar: { x0: Math.max(at - half, left), x1: Math.min(at + half, right), at },
    ring,
    saidAt,
    recordedAt,
  };
}

/** The question's own scale, made longer where said or recorded lies past it. */
function range(
  { low, high, step, sides }: ScaleInput['question'],
  values: readonly number[],
): readonly [number, number] {
  const all = values.filter(Number.isFinite);
  const most = Math.max(high, ...all.map((one) => Math.ceil(one / step) * step));
  const least = Math.min(low, ...all.map((one) => Math.floor(one / step) * step));
  if (!sides) return [least, most];
  // Both ways alike, so that the middle stays the middle.
  const reach = Math.max(most, -least);
  return [-reach, reach];
}

function ticksOf(
  low: number,
  high: number,
  { sides, unit }: ScaleInput['question'],
): { value: number; words: string; anchor: 'start' | 'middle' | 'end' }[] {
  const values = [low, (low + high) / 2, high];
  return values.map((value, index) => ({
    value,
    words: sides
      ? index === 1
        ? '0'
        : `${withUnit(Math.abs(value), 0, unit)} ${index === 2 ? sides[0] : sides[1]}`
      : index === 1
        ? number(value, Number.isInteger(value) ? 0 : 1)
        : withUnit(value, Number.isInteger(value) ? 0 : 1, unit),
    anchor: index === 0 ? 'start' : index === 2 ? 'end' : 'middle',
  }));
}

/** Middles of the two words, in the order of what they name, not over each other nor over the edges. */
function apart(said: number, recorded: number, saidWidth: number, recordedWidth: number, width: number) {
  const gap = (saidWidth + recordedWidth) / 2 + 12;
  const first = said <= recorded;
  const places =
    saidWidth === 0 ? [recorded] : spread(first ? [said, recorded] : [recorded, said], gap, 0, width);
  const into = (middle: number, wide: number): number =>
    Math.min(Math.max(middle, wide / 2), Math.max(width - wide / 2, wide / 2));
  if (saidWidth === 0) return [said, into(recorded, recordedWidth)] as const;
  const [a = said, b = recorded] = places;
  let [one, other] = first
    ? [into(a, saidWidth), into(b, recordedWidth)]
    : [into(b, saidWidth), into(a, recordedWidth)];
  // At an edge the one that was moved in pushes the other away.
  if (Math.abs(one - other) < gap) {
    if (one <= other) {
      if (other + recordedWidth / 2 >= width - 0.5) one = other - gap;
      else other = one + gap;
    } else if (one + saidWidth / 2 >= width - 0.5) other = one - gap;
    else one = other + gap;
  }
  return [one, other] as const;
}
