// A mark in words: what was asked for, the worst that was flown, and what the list of maneuvers says of it.
// The printed sheet says the same in the same words.

import type { Maneuver, Mark, Verdict } from '../flight/document';
import { elementShort, plainId } from '../flight/names';
import { bare, capital, decimals, number, plain, tidy, withSigma } from '../flight/numbers';

const NBSP = '\u00a0';

/** A value that the document may leave out. */
function known(value: number | null | undefined): value is number {
  return value !== null && value !== undefined && Number.isFinite(value);
}

/** Whether the numbers of a mark are points of the compass. */
export function isCompass(mark: Mark): boolean {
  return (
    mark.unit === 'deg' &&
    mark.criterion.includes('heading') &&
    known(mark.target) &&
    mark.target >= 0 &&
    mark.target <= 360
  );
}

/** Difference from the target in the mark's unit, across north where it is a heading. */
export function deviation(mark: Mark): number | undefined {
  if (!known(mark.worst) || !known(mark.target)) return undefined;
  const difference = mark.worst - mark.target;
  const compass = mark.unit === 'deg' && mark.criterion.includes('heading');
  return compass ? difference - 360 * Math.round(difference / 360) : difference;
}

/** Worst value in words: `26° ± 2° right`, `19 ± 2 kt slow`, `0.055 ± 0.008 g`. */
export function worst(mark: Mark, leftTurn: boolean): string | undefined {
  if (!known(mark.worst)) return undefined;
  const whole = (value: number): string => withSigma(value, mark.sigma, mark.unit);
  const side = (off: number, plus: string, minus: string): string => {
    const zero = !/[1-9]/.test(number(Math.abs(off), decimals(mark.sigma, mark.unit)));
    return zero ? whole(Math.abs(off)) : `${whole(Math.abs(off))} ${off > 0 ? plus : minus}`;
  };
  if (mark.criterion.startsWith('bank')) return whole(Math.abs(mark.worst));
  const off = deviation(mark);
  if (off === undefined) return whole(mark.worst);
  const { criterion, unit } = mark;
  if (criterion.includes('rollout')) return side(leftTurn ? -off : off, 'past', 'short');
  if (criterion.includes('heading') && unit === 'deg') return side(off, 'right', 'left');
  if (criterion.includes('altitude') && unit === 'ft') return side(off, 'high', 'low');
  if (criterion.includes('airspeed') && unit === 'kt') return side(off, 'fast', 'slow');
  return whole(mark.worst);
}

const ORIGINS: Record<string, string> = {
  assumed: 'assumed',
  briefed: 'briefed',
  aircraft_file: 'aircraft file',
};

/** Target and limits in words: `063° ± 10°`, `up to 0.05 g, assumed`, `at least 1,500 ft`. */
export function limits(mark: Mark): string {
  const text = limitText(mark);
  const origin = ORIGINS[mark.limit_origin];
  return text === '' || origin === undefined ? text : `${text}, ${origin}`;
}

function limitText(mark: Mark): string {
  const unit = mark.unit;
  // Bank is asked for in degrees of bank, whichever way the turn goes.
  const flip = mark.criterion.startsWith('bank') && known(mark.target) && mark.target < 0;
  const turn = (value: number | null | undefined): number | null | undefined =>
    flip && known(value) ? -value : value;
  const target = turn(mark.target);
  const low = turn(flip ? mark.high : mark.low);
  const high = turn(flip ? mark.low : mark.high);
  const name = (value: number): string =>
    isCompass(mark)
      ? `${String(Math.round(((value % 360) + 360) % 360)).padStart(3, '0')}°`
      : plain(value, unit);
  if (known(target) && known(low) && known(high)) {
    const down = target - low;
    const up = high - target;
    if (Math.abs(up - down) < 1e-6 * Math.max(Math.abs(up), 1)) {
      const first = unit === 'deg' ? name(target) : bare(target);
      return `${first}${NBSP}±${NBSP}${plain(up, unit)}`;
    }
    return `${name(target)}, +${plain(up, unit)}${NBSP}/${NBSP}−${bare(down)}`;
  }
  if (known(low) && known(high)) return `${bare(low)} to ${plain(high, unit)}`;
  if (known(high)) return `${unit === 's' ? 'within' : 'up to'} ${plain(high, unit)}`;
  if (known(low)) return `at least ${plain(low, unit)}`;
  return known(target) ? name(target) : '';
}

/** Whether the pin of a mark goes through its lower limit. */
export function isBelow(mark: Mark): boolean {
  const { worst: value, low, high, target } = mark;
  if (known(value) && known(low) && known(high)) {
    const middle = (low + high) / 2;
    const off = deviation(mark);
    if (off === undefined) return value < middle;
    return off < (known(target) ? middle - target : 0);
  }
  return known(low) && !known(high);
}

/** `Height above ground: 3,070 ± 60 ft, at least 1,500 ft (S2)`. */
export function markLine(maneuver: Maneuver, mark: Mark): string {
  const parts: string[] = [];
  if (mark.mark !== 'not_recorded' && mark.mark !== 'for_instructor') {
    const value = worst(mark, isLeft(maneuver));
    if (value !== undefined) parts.push(value);
    const asked = limits(mark);
    if (asked !== '') parts.push(asked);
  }
  const note = mark.note?.trim() ?? '';
  // Why only a person can judge, and that a limit is assumed, is said in the table; a question is put here.
  const said =
    mark.mark === 'for_instructor'
      ? note.includes('?')
      : mark.mark !== 'met' || !known(mark.worst) || mark.limit_origin !== 'assumed';
  if (said && note !== '') parts.push(tidy(note));
  const code = elementShort(mark.element);
  const tail = code === '' ? '' : ` (${code})`;
  const name = capital(mark.quantity);
  return parts.length === 0 ? `${name}${tail}` : `${name}: ${parts.join('; ')}${tail}`;
}

/** Whether a turn to the left. */
export function isLeft(maneuver: Maneuver): boolean {
  return maneuver.direction.startsWith('left');
}

export interface TallyEntry {
  readonly verdict: Verdict;
  /** Elements concerned, or how many. */
  readonly words: string;
  readonly below: boolean;
}

/** A mark as it counts: the person's verdict where one was given, else the program's. */
export interface Counted {
  readonly mark: Mark;
  readonly verdict: Verdict;
}

/** One line of the list of maneuvers: the elements not met or too close by name, the others by number. */
export function tally(marks: readonly Counted[]): TallyEntry[] {
  const of = (verdict: Verdict): Counted[] => marks.filter((one) => one.verdict === verdict);
  const named: TallyEntry[] = (['not_met', 'too_close'] as const)
    .filter((verdict) => of(verdict).length > 0)
    .map((verdict) => ({
      verdict,
      words: [...new Set(of(verdict).map(({ mark }) => plainId(mark.criterion)))].join(', '),
      below: of(verdict).every(({ mark }) => isBelow(mark)),
    }));
  const counted: TallyEntry[] = (['met', 'for_instructor', 'not_recorded'] as const)
    .filter((verdict) => of(verdict).length > 0)
    .map((verdict) => ({ verdict, words: String(of(verdict).length), below: false }));
  return [...named, ...counted];
}
