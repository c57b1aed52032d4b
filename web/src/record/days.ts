// Lessons under the day they were flown.
import type { LessonBrief } from '../shared/api/types';

export interface Day {
  /** `2025-09-04`, UTC. */
  date: string;
  lessons: LessonBrief[];
}

/** Groups in the order of the list (newest first); a day's lessons keep their order. */
export function byDay(lessons: readonly LessonBrief[]): Day[] {
  const days: Day[] = [];
  for (const lesson of lessons) {
    const date = lesson.start_utc.slice(0, 10);
    const last = days.at(-1);
    if (last?.date === date) last.lessons.push(lesson);
    else days.push({ date, lessons: [lesson] });
  }
  return days;
}

/** `two steep turns, power-off stall`: what was flown, in order of first appearance. */
export function flownWords(flown: LessonBrief['flown']): string {
  return flown.map(({ title, count }) => (count === 1 ? title : `${title} × ${String(count)}`)).join(', ');
}
