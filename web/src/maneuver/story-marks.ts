// Which marks belong to a line of the story: those that were broken, or nearly, at its moment.

import type { Mark, Verdict } from '../flight/document';
import type { StoryEvent } from '../flight/story';

/** A mark further from every event than this belongs to none, s. */
const NEAR_S = 1;

/** Marks not met or too close whose moment lies nearest to this event; each belongs to one event. */
export function marksAt(
  marks: readonly Mark[],
  story: readonly StoryEvent[],
  event: StoryEvent,
  verdict: (mark: Mark) => Verdict,
): Mark[] {
  return marks.filter((mark) => {
    const at = mark.at_s;
    if (at === null || at === undefined) return false;
    if (verdict(mark) !== 'not_met' && verdict(mark) !== 'too_close') return false;
    const nearest = story.reduce<StoryEvent | undefined>(
      (best, one) => (!best || Math.abs(one.at_s - at) < Math.abs(best.at_s - at) ? one : best),
      undefined,
    );
    return nearest?.number === event.number && Math.abs(nearest.at_s - at) <= NEAR_S;
  });
}
