// The words of the five marks.
import type { Verdict } from './api/types';

/** In the order of what needs attention first. */
export const verdicts: readonly Verdict[] = ['not_met', 'too_close', 'met', 'for_instructor', 'not_recorded'];

const words: Record<Verdict, string> = {
  met: 'met',
  not_met: 'not met',
  too_close: 'too close',
  not_recorded: 'not recorded',
  for_instructor: 'for instructor',
};

export function verdictWord(verdict: Verdict): string {
  return words[verdict];
}
