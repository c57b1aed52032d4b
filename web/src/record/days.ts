// Lessons under the day they were flown.
import type { LessonBrief } from '../shared/api/types';
import { capital } from '../shared/format';

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

/** `Takeoff, clearing turns × 4, power-off stall`: what was flown, in order of first appearance, as one sentence. */
export function flownWords(flown: LessonBrief['flown']): string {
  const names = flown.map(({ title, count }) => {
    const lower = title.charAt(0).toLowerCase() + title.slice(1);
    return count === 1 ? lower : `${lower}\u00a0×\u00a0${String(count)}`;
  });
  return capital(names.join(', '));
}
