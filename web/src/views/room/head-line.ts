// The one line at the head of the page while a lesson is open.

import { clock, date } from '../../shared/format';
import type { Debrief, LessonBrief } from '../../shared/api/types';

/** `Flight of 4 September 2025, 14:04–14:27 UTC, trainer A, one sample every 0.1 s, nothing missing`. */
export function headLine(debrief: Debrief, lesson: LessonBrief): string {
  const { recording, aircraft } = debrief;
  const parts: string[] = [];
  if (recording.start_utc) {
    const end = new Date(Date.parse(recording.start_utc) + recording.duration_s * 1000).toISOString();
    parts.push(`Flight of ${date(recording.start_utc)}`, `${clock(recording.start_utc)}–${clock(end)} UTC`);
  } else parts.push(`Flight of ${date(lesson.start_utc)}, time of day not recorded`);
  if (lesson.student) parts.push(lesson.student.name);
  parts.push(lesson.aircraft ?? aircraft.name);
  const interval = Math.round(recording.interval_s * 100) / 100;
  parts.push(interval === 1 ? 'one sample a second' : `one sample every ${String(interval)} s`);
  const gaps = recording.gaps.length;
  parts.push(
    gaps === 0
      ? 'nothing missing'
      : gaps === 1
        ? 'one hole in the recording'
        : `${String(gaps)} holes in the recording`,
  );
  return parts.join(', ');
}
