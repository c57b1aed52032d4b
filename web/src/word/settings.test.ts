import { expect, test } from 'vitest';
import type { LessonView } from '../shared/api/types';
import { confirmed, headerOf, settingOf } from './settings';

const view = {
  lesson: {
    student: { id: 's1', name: 'A. Wren', role: 'student' },
    instructor: null,
    aircraft_id: 'a1',
    standard: 'faa-private',
    title: 'Stalls',
    demonstration: false,
    guessed: ['student', 'instructor'],
  },
  terrain_ft: 1250.4,
} as unknown as LessonView;

test('prop: what was not touched is not sent', () => {
  const before = headerOf(view);
  expect(settingOf(before, { ...before })).toBeUndefined();
  expect(settingOf(before, { ...before, title: ' Stalls ' })).toBeUndefined();
  expect(settingOf(before, { ...before, terrain_ft: ' 1250 ' })).toBeUndefined();
  expect(settingOf(before, { ...before, terrain_ft: 'high' })).toBeUndefined();
  expect(settingOf(before, { ...before, terrain_ft: ' ' })).toEqual({ terrain_ft: null });
  expect(settingOf(before, { ...before, aircraft_id: 'a2', terrain_ft: '900' })).toEqual({
    aircraft_id: 'a2',
    terrain_ft: 900,
  });
  expect(settingOf(before, { ...before, student_id: '', title: '' })).toEqual({ student_id: '', title: '' });
});

test('prop: every guess is confirmed in one act, and nothing else', () => {
  expect(confirmed(view)).toEqual({ student_id: 's1', instructor_id: '' });
  expect(confirmed({ ...view, lesson: { ...view.lesson, guessed: [] } })).toBeUndefined();
});
