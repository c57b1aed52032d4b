// A lesson's header as a form: what it holds, and what of it was changed.

import type { LessonView, Setting } from '../shared/api/types';

export interface Header {
  student_id: string;
  instructor_id: string;
  aircraft_id: string;
  standard: string;
  /** As written in the field; empty = the school's. */
  terrain_ft: string;
  title: string;
  demonstration: boolean;
}

export function headerOf(view: LessonView): Header {
  const { lesson } = view;
  return {
    student_id: lesson.student?.id ?? '',
    instructor_id: lesson.instructor?.id ?? '',
    aircraft_id: lesson.aircraft_id ?? '',
    standard: lesson.standard,
    terrain_ft: view.terrain_ft === null ? '' : String(Math.round(view.terrain_ft)),
    title: lesson.title,
    demonstration: lesson.demonstration,
  };
}

/** What was changed of it; none = nothing. */
export function settingOf(before: Header, after: Header): Setting | undefined {
  const set: Setting = {};
  if (after.student_id !== before.student_id) set.student_id = after.student_id;
  if (after.instructor_id !== before.instructor_id) set.instructor_id = after.instructor_id;
  if (after.aircraft_id !== before.aircraft_id) set.aircraft_id = after.aircraft_id;
  if (after.standard !== before.standard) set.standard = after.standard;
  if (after.title.trim() !== before.title) set.title = after.title.trim();
  if (after.demonstration !== before.demonstration) set.demonstration = after.demonstration;
  const terrain = after.terrain_ft.trim();
  if (terrain !== before.terrain_ft) {
    if (terrain === '') set.terrain_ft = null;
    else if (Number.isFinite(Number(terrain))) set.terrain_ft = Number(terrain);
  }
  return Object.keys(set).length === 0 ? undefined : set;
}

/** Confirms every guess as it stands, in one act; what is guessed to be nobody stays for a person to name. */
export function confirmed(view: LessonView): Setting | undefined {
  const { lesson } = view;
  const set: Setting = {};
  for (const field of lesson.guessed) {
    if (field === 'student') set.student_id = lesson.student?.id ?? '';
    if (field === 'instructor') set.instructor_id = lesson.instructor?.id ?? '';
    if (field === 'aircraft') set.aircraft_id = lesson.aircraft_id ?? '';
  }
  return Object.keys(set).length === 0 ? undefined : set;
}
