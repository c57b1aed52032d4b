// How far a lesson is, in words, and whose turn it is.
import type { LessonBrief, Role } from '../shared/api/types';

export interface Turn {
  /** e.g. `to sign`. */
  words: string;
  /** More, where a word or two help: which guesses are to confirm. */
  more?: string;
  /** It is for the one who looks to do the next thing. */
  yours: boolean;
}

/** What stands beside a lesson for a person of this role. */
export function turn(lesson: Pick<LessonBrief, 'state' | 'guessed' | 'demonstration'>, role: Role): Turn {
  const teaches = role === 'chief' || role === 'instructor';
  const student = role === 'student';
  switch (lesson.state) {
    case 'to_confirm':
      return {
        words: teaches ? 'to confirm' : 'with the instructor',
        ...(teaches ? { more: guesses(lesson.guessed) } : {}),
        yours: teaches,
      };
    case 'open':
      return { words: teaches ? 'to sign' : 'not signed yet', yours: teaches };
    case 'signed':
      if (lesson.demonstration) return { words: 'signed', yours: false };
      return { words: student ? 'to read' : 'signed, not read yet', yours: student };
    case 'changed_since_signed':
      return {
        words: teaches ? 'to sign again' : 'being changed',
        more: 'changed since it was signed',
        yours: teaches,
      };
    case 'acknowledged':
      return { words: 'signed and read', yours: false };
    case 'set_aside':
      return { words: 'set aside', yours: false };
  }
}

const guessWords: Record<string, string> = {
  student: 'who flew',
  instructor: 'who taught',
  aircraft: 'in what',
};

function guesses(fields: readonly string[]): string {
  if (fields.length === 0) return 'how the recording is read';
  return fields.map((field) => guessWords[field] ?? field.replaceAll('_', ' ')).join(', ');
}

/** States as filters of the list, in the order of the work. */
export const stateFilters: readonly { state: LessonBrief['state']; staff: string; student: string | null }[] =
  [
    { state: 'to_confirm', staff: 'to confirm', student: null },
    { state: 'open', staff: 'to sign', student: 'not signed yet' },
    { state: 'changed_since_signed', staff: 'to sign again', student: null },
    { state: 'signed', staff: 'signed, not read yet', student: 'to read' },
    { state: 'acknowledged', staff: 'signed and read', student: 'signed and read' },
    { state: 'set_aside', staff: 'set aside', student: null },
  ];
