// What a signature would stand under, counted: so that nobody signs what they have not seen.

import type { Maneuver, Mark, Verdict } from '../../flight/document';
import { GivenMarks } from '../../flight/given-marks';
import { isOpen } from '../../marks/giving';
import type { GivenMark, LessonView } from '../../shared/api/types';
import { verdicts } from '../../shared/verdict';

export interface Spoken {
  readonly maneuver: Maneuver;
  readonly mark: Mark;
  readonly given: GivenMark;
}

export interface Signing {
  readonly maneuvers: number;
  readonly marks: number;
  /** Marks as they count, in the order of what needs attention first; those that have any. */
  readonly tally: readonly { readonly verdict: Verdict; readonly count: number }[];
  readonly changed: readonly Spoken[];
  readonly given: readonly Spoken[];
  readonly confirmed: number;
  /** Marks by the recording that stand as the program says: nobody spoke of them. */
  readonly silent: number;
  /** Marks that only a person can judge, and nobody did. */
  readonly unsaid: readonly { readonly maneuver: Maneuver; readonly mark: Mark }[];
}

export function signingOf(view: LessonView): Signing {
  const given = new GivenMarks(view.word.marks);
  const marked = view.debrief.maneuvers.filter((one) => one.marked);
  const all = marked.flatMap((maneuver) =>
    maneuver.marks.map((mark) => ({ maneuver, mark, given: given.of(maneuver.number, mark) })),
  );
  const spoken = all.filter((one): one is Spoken => one.given !== undefined);
  const quiet = all.filter((one) => one.given === undefined);
  const counts = (verdict: Verdict) =>
    all.filter((one) => (one.given?.verdict ?? one.mark.mark) === verdict).length;
  return {
    maneuvers: marked.length,
    marks: all.length,
    tally: verdicts.map((verdict) => ({ verdict, count: counts(verdict) })).filter(({ count }) => count > 0),
    changed: spoken.filter((one) => one.given.how === 'changed'),
    given: spoken.filter((one) => one.given.how === 'given'),
    confirmed: spoken.filter((one) => one.given.how === 'confirmed').length,
    silent: quiet.filter(({ mark }) => !isOpen(mark)).length,
    unsaid: quiet.filter(({ mark }) => isOpen(mark)),
  };
}

/** Where a mark is, for a list: `looking out …, Slow flight`; maneuvers of the same unsaid item are put together. */
export function unsaidWords(unsaid: Signing['unsaid']): string[] {
  const where = new Map<string, number[]>();
  for (const { maneuver, mark } of unsaid)
    where.set(mark.quantity, [...(where.get(mark.quantity) ?? []), maneuver.number]);
  return [...where].map(
    ([quantity, numbers]) =>
      `${quantity}: ${numbers.length > 1 ? 'maneuvers' : 'maneuver'} ${numbers.join(', ')}`,
  );
}
