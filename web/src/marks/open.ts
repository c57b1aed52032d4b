// What is still open in a lesson before somebody signs it.

import type { GivenMark, LessonView } from '../shared/api/types';
import type { Maneuver, Mark } from '../flight/document';
import { GivenMarks } from '../flight/given-marks';
import { isOpen } from './giving';

export interface Placed {
  readonly maneuver: Maneuver;
  readonly mark: Mark;
}

export interface Open {
  /** Fields of the header that are guesses. */
  readonly guessed: readonly string[];
  /** Nobody is named who flew, and it is no demonstration. */
  readonly nobody: boolean;
  /** Marks that only a person can judge and that nobody gave. */
  readonly ungiven: readonly Placed[];
  /** Marks that a person changed. */
  readonly changed: readonly GivenMark[];
  /** Where the program now says something else than when the person spoke. */
  readonly overtaken: readonly GivenMark[];
  /** Words of a person that belong to no maneuver now. */
  readonly homeless: readonly GivenMark[];
}

export function openOf(view: LessonView): Open {
  const given = new GivenMarks(view.word.marks);
  const here = view.word.marks.filter((one) => one.number !== null);
  return {
    guessed: view.lesson.guessed,
    nobody: !view.lesson.student && !view.lesson.demonstration,
    ungiven: view.debrief.maneuvers
      .filter((maneuver) => maneuver.marked)
      .flatMap((maneuver) =>
        maneuver.marks
          .filter((mark) => isOpen(mark) && !given.of(maneuver.number, mark))
          .map((mark) => ({ maneuver, mark })),
      ),
    changed: here.filter((one) => one.how === 'changed'),
    overtaken: here.filter((one) => one.program_then !== null),
    homeless: view.word.marks.filter((one) => one.number === null),
  };
}

/** Whether the server takes a signature: nobody signs a guess, and somebody flew it. */
export function maySign(open: Open): boolean {
  return open.guessed.length === 0 && !open.nobody;
}

/** Open marks that ask the same in more than one maneuver, in the order they come. */
export function repeated(ungiven: readonly Placed[]): { quantity: string; all: Placed[] }[] {
  const groups = new Map<string, Placed[]>();
  for (const one of ungiven) groups.set(one.mark.quantity, [...(groups.get(one.mark.quantity) ?? []), one]);
  return [...groups].filter(([, all]) => all.length > 1).map(([quantity, all]) => ({ quantity, all }));
}
