// Marks and figures of two maneuvers beside each other, with what one is minus the other. Only facts: nothing is
// ranked.

import type { Fact, Maneuver, Mark } from '../../flight/document';
import { plainId } from '../../flight/names';
import { capital, decimals, number, withSigma } from '../../flight/numbers';
import { deviation, isLeft, limits, worst } from '../../maneuver/words';

/** A number with its 1-σ. */
export interface Value {
  readonly value: number;
  readonly sigma: number | null;
  readonly unit: string;
}

export interface MarkRow {
  readonly key: string;
  readonly name: string;
  readonly asked: string;
  readonly a: Mark | undefined;
  readonly b: Mark | undefined;
  readonly aWords: string;
  readonly bWords: string;
  readonly difference: string;
}

export interface FactRow {
  readonly key: string;
  readonly name: string;
  readonly a: string;
  readonly b: string;
  readonly difference: string;
}

/** `+18° ± 3°`, `−0.6 ± 0.3 s`, `none` where it rounds to nothing. */
export function differenceWords(a: Value | undefined, b: Value | undefined): string {
  if (!a || !b || a.unit !== b.unit) return '';
  const value = a.value - b.value;
  const sigma = a.sigma === null || b.sigma === null ? null : Math.hypot(a.sigma, b.sigma);
  const words = withSigma(value, sigma, a.unit);
  const nothing = !/[1-9]/.test(number(value, decimals(sigma, a.unit)));
  if (nothing && sigma === null) return 'none';
  return value > 0 && !nothing ? `+${words}` : words;
}

/**
 * What counts of a mark: bank whichever way it was flown, what has a target by its deviation, a roll-out past its
 * heading positive for either way of turning; else the worst value itself.
 */
export function valueOf(mark: Mark | undefined, left: boolean): Value | undefined {
  const { worst: value, unit } = mark ?? {};
  if (!mark || value === null || value === undefined || unit === undefined || !Number.isFinite(value))
    return undefined;
  const sigma = mark.sigma ?? null;
  if (mark.criterion.startsWith('bank')) return { value: Math.abs(value), sigma, unit };
  const off = deviation(mark);
  if (off === undefined) return { value, sigma, unit };
  return { value: mark.criterion.includes('rollout') && left ? -off : off, sigma, unit };
}

/** Every mark that either has a number or a verdict for; those with a number first, in the order of the first. */
export function markRows(a: Maneuver, b: Maneuver): MarkRow[] {
  const key = (mark: Mark): string => `${mark.criterion} ${mark.quantity}`;
  const keys = [...new Set([...a.marks, ...b.marks].map(key))];
  const rows = keys.map((id): MarkRow => {
    const ours = a.marks.find((mark) => key(mark) === id);
    const theirs = b.marks.find((mark) => key(mark) === id);
    const askedA = ours ? limits(ours) : '';
    const askedB = theirs ? limits(theirs) : '';
    return {
      key: id,
      name: capital(ours?.quantity ?? theirs?.quantity ?? id),
      // Targets may differ: each was asked for its own heading.
      asked: askedA === askedB || askedB === '' || askedA === '' ? askedA || askedB : `${askedA}; ${askedB}`,
      a: ours,
      b: theirs,
      aWords: ours ? (worst(ours, isLeft(a)) ?? '') : '',
      bWords: theirs ? (worst(theirs, isLeft(b)) ?? '') : '',
      difference: differenceWords(valueOf(ours, isLeft(a)), valueOf(theirs, isLeft(b))),
    };
  });
  const numbered = (row: MarkRow): boolean => row.aWords !== '' || row.bWords !== '';
  return [...rows.filter(numbered), ...rows.filter((row) => !numbered(row))];
}

const UNITS = /_(?:ft|kt|deg|s|g|fpm|deg_s|kt_s|percent|rpm)$/;

/** Name of a figure without its unit: `altitude_lost_ft` → `Altitude lost`. */
export function factName(id: string): string {
  return capital(
    plainId(id.replace(UNITS, '').replace(UNITS, ''))
      .replace(/\bias\b/g, 'airspeed')
      .replace(/\baoa\b/g, 'angle of attack')
      .replace(/\bagl\b/g, 'above ground'),
  );
}

/** A direction of the compass and the like has no difference worth a number here. */
const NO_DIFFERENCE = /heading_(?!turned|change)|_heading_/;

/** Figures that both have. */
export function factRows(a: Maneuver, b: Maneuver): FactRow[] {
  const say = (fact: Fact): string =>
    fact.unit === '' ? number(fact.value, 2) : withSigma(fact.value, fact.sigma, fact.unit);
  const value = (fact: Fact): Value => ({ value: fact.value, sigma: fact.sigma ?? null, unit: fact.unit });
  return Object.keys(a.facts)
    .filter((id) => b.facts[id] !== undefined && !id.includes('probability'))
    .flatMap((id): FactRow[] => {
      const ours = a.facts[id];
      const theirs = b.facts[id];
      if (!ours || !theirs || !Number.isFinite(ours.value) || !Number.isFinite(theirs.value)) return [];
      return [
        {
          key: id,
          name: factName(id),
          a: say(ours),
          b: say(theirs),
          difference: NO_DIFFERENCE.test(id) ? '' : differenceWords(value(ours), value(theirs)),
        },
      ];
    });
}
