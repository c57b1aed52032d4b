// How far the worst value lies inside or outside its nearest limit. The mark itself is the program's: this only says
// in words how close it was.

import type { Mark } from '../../flight/document';
import { decimals, number, withUnit } from '../../flight/numbers';
import { deviation } from '../../maneuver/words';

export interface Margin {
  /** `16° outside`, `230 ft inside`, `at the limit`. */
  readonly words: string;
  readonly outside: boolean;
}

/** None where nothing was measured or nothing limits it. */
export function marginOf(mark: Mark): Margin | undefined {
  if (mark.mark === 'not_recorded' || mark.mark === 'for_instructor') return undefined;
  const { worst, target, low, high } = mark;
  if (!known(worst)) return undefined;
  // Across north a heading is compared by its difference from the target.
  const off = known(target) ? deviation(mark) : undefined;
  const zero = off === undefined ? 0 : (target ?? 0);
  const value = off ?? worst;
  const rooms = [
    ...(known(low) ? [value - (low - zero)] : []),
    ...(known(high) ? [high - zero - value] : []),
  ];
  if (rooms.length === 0) return undefined;
  const room = Math.min(...rooms);
  const places = decimals(mark.sigma, mark.unit);
  const says = /[1-9]/.test(number(Math.abs(room), places));
  const outside = room < 0;
  if (!says) return { words: 'at the limit', outside };
  return {
    words: `${withUnit(Math.abs(room), places, mark.unit)} ${outside ? 'outside' : 'inside'}`,
    outside,
  };
}

function known(value: number | null | undefined): value is number {
  return value !== null && value !== undefined && Number.isFinite(value);
}
