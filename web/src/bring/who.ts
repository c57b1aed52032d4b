// Who flew a lesson: what the program guessed, and what a person says. Pure.
import type { LessonBrief, Setting } from '../shared/api/types';

/** Stands for the student where there is none: the instructor shows it. */
export const DEMONSTRATION = 'demonstration';

export interface Who {
  /** Person id, `DEMONSTRATION`, or empty. */
  student: string;
  instructor: string;
  aircraft: string;
}

const FIELDS = ['student', 'instructor', 'aircraft'] as const;

type About = Pick<LessonBrief, 'guessed' | 'demonstration' | 'student' | 'instructor' | 'aircraft_id'>;

/** Which of the three are guesses that nobody has confirmed. */
export function openGuesses(lesson: Pick<LessonBrief, 'guessed'>): (typeof FIELDS)[number][] {
  return FIELDS.filter((field) => lesson.guessed.includes(field));
}

/** Somebody flew it, or it is a demonstration. */
export function flownBy(lesson: Pick<LessonBrief, 'demonstration' | 'student'>): boolean {
  return lesson.demonstration || lesson.student !== null;
}

/** The one act that makes the lesson so: what differs, and what was a guess until now. Null = there is nothing to say. */
export function changeOf(lesson: About, now: Who): Setting | null {
  const guessed = openGuesses(lesson);
  const change: Setting = {};
  if (now.student === DEMONSTRATION) {
    if (!lesson.demonstration) change.demonstration = true;
  } else {
    if (lesson.demonstration && now.student !== '') change.demonstration = false;
    if (now.student !== '' && (guessed.includes('student') || now.student !== (lesson.student?.id ?? '')))
      change.student_id = now.student;
  }
  if (
    now.instructor !== '' &&
    (guessed.includes('instructor') || now.instructor !== (lesson.instructor?.id ?? ''))
  )
    change.instructor_id = now.instructor;
  if (now.aircraft !== '' && (guessed.includes('aircraft') || now.aircraft !== (lesson.aircraft_id ?? '')))
    change.aircraft_id = now.aircraft;
  return Object.keys(change).length > 0 ? change : null;
}
