// What a person may say of a mark, and what that act is.

import type { Act, GivenMark, ManeuverRef, Verdict } from '../shared/api/types';
import type { Maneuver, Mark } from '../flight/document';

/** A maneuver as entries name it. */
export function refOf(maneuver: Pick<Maneuver, 'kind' | 'start_s' | 'end_s'>): ManeuverRef {
  return { kind: maneuver.kind, start_s: maneuver.start_s, end_s: maneuver.end_s };
}

/** What a person may say; leaving it to the instructor is no mark. */
export const CHOICES: readonly { verdict: Verdict; means: string }[] = [
  { verdict: 'met', means: 'within what the standard asks' },
  { verdict: 'not_met', means: 'outside it' },
  { verdict: 'too_close', means: 'neither can be said' },
  { verdict: 'not_recorded', means: 'nobody saw or heard it' },
];

/** What is said most of what only a person can judge: one press each. */
export const QUICK: readonly Verdict[] = ['met', 'not_met', 'not_recorded'];

/** Whether the program leaves this mark to a person. */
export function isOpen(mark: Pick<Mark, 'mark'>): boolean {
  return mark.mark === 'for_instructor';
}

/** Whether the recording decides this mark. */
export function isDecided(mark: Pick<Mark, 'mark'>): boolean {
  return mark.mark === 'met' || mark.mark === 'not_met';
}

/** A mark that the recording decides is changed only with a reason. */
export function needsReason(program: Verdict, verdict: Verdict): boolean {
  return (program === 'met' || program === 'not_met') && verdict !== program;
}

/** Saying what the program says confirms it; anything else is the person's own mark. */
export function actOf(maneuver: Maneuver, mark: Mark, verdict: Verdict, reason: string): Act {
  const at = { maneuver: refOf(maneuver), element: mark.element, criterion: mark.criterion };
  return verdict === mark.mark && reason.trim() === ''
    ? { kind: 'confirm', ...at }
    : { kind: 'mark', ...at, verdict, reason: reason.trim() };
}

/** Every mark of a maneuver that is decided, confirmed in one act. */
export function confirmAll(maneuver: Maneuver): Act {
  return { kind: 'confirm', maneuver: refOf(maneuver), element: '', criterion: '' };
}

/**
 * Confirms what the recording decides and nobody spoke of yet. One act says it of the whole maneuver; where a person
 * has spoken of some of it, the others are confirmed one by one, so that what they confirmed stays theirs.
 */
export function confirmRest(maneuver: Maneuver, given: (mark: Mark) => GivenMark | undefined): Act[] {
  const decided = maneuver.marks.filter(isDecided);
  const silent = decided.filter((mark) => !given(mark));
  if (silent.length === decided.length) return silent.length > 0 ? [confirmAll(maneuver)] : [];
  return silent.map((mark) => confirm(maneuver, mark));
}

export function confirm(maneuver: Maneuver, mark: Mark): Act {
  return { kind: 'confirm', maneuver: refOf(maneuver), element: mark.element, criterion: mark.criterion };
}

export function takeBack(maneuver: Maneuver, mark: Mark): Act {
  return { kind: 'unmark', maneuver: refOf(maneuver), element: mark.element, criterion: mark.criterion };
}
