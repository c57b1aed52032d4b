// Why somebody may change nothing of a lesson, in a sentence that tells who can.

import type { LessonView, PersonBrief, Role } from '../../shared/api/types';

/** Empty = they may. */
export function whyNot(
  view: Pick<LessonView, 'can' | 'lesson'>,
  me: Pick<PersonBrief, 'id'> | undefined,
  role: Role | undefined,
): string {
  if (view.can.judge) return '';
  const { lesson } = view;
  if (lesson.state === 'set_aside') {
    return 'This lesson was set aside: it can be read, and nothing of it changes. The chief instructor can take it back.';
  }
  if (role === 'auditor')
    return 'You read here: an auditor sees all of the record and changes nothing of it.';
  if (lesson.demonstration && lesson.student?.id !== me?.id) {
    return 'A demonstration, to look at: its marks and notes are the instructor’s.';
  }
  return 'Marks, boundaries, notes and what was briefed are the instructor’s word. What you think of it goes into your reply.';
}
