// What of a lesson's header is a guess, and the act that says it is right.

import type { Act, LessonBrief } from '../../shared/api/types';

export interface Guess {
  readonly field: string;
  /** `student`. */
  readonly words: string;
  /** Who or what was guessed. */
  readonly name: string;
}

type Header = Pick<LessonBrief, 'guessed' | 'student' | 'instructor' | 'aircraft' | 'aircraft_id'>;

/** Guesses that have something to confirm; a field that nobody filled is not one. */
export function guesses(lesson: Header): Guess[] {
  const names: Record<string, string | undefined> = {
    student: lesson.student?.name,
    instructor: lesson.instructor?.name,
    aircraft: lesson.aircraft ?? undefined,
  };
  return ['student', 'instructor', 'aircraft'].flatMap((field): Guess[] => {
    const name = names[field];
    return lesson.guessed.includes(field) && name !== undefined ? [{ field, words: field, name }] : [];
  });
}

/** Says that every guess is right. */
export function settle(lesson: Header): Act {
  const is = (field: string): boolean => lesson.guessed.includes(field);
  return {
    kind: 'setting',
    ...(is('student') && lesson.student ? { student_id: lesson.student.id } : {}),
    ...(is('instructor') && lesson.instructor ? { instructor_id: lesson.instructor.id } : {}),
    ...(is('aircraft') && lesson.aircraft_id !== null ? { aircraft_id: lesson.aircraft_id } : {}),
  };
}
