import { expect, it } from 'vitest';
import type { LessonBrief } from '../shared/api/types';
import { byDay, flownWords } from './days';

const at = (start_utc: string) => ({ start_utc }) as LessonBrief;

it('prop_every_lesson_stands_under_its_own_day_once', () => {
  const all = [
    '2025-09-05T00:01:00Z',
    '2025-09-04T23:59:00Z',
    '2025-09-04T08:00:00Z',
    '2025-08-01T08:00:00Z',
  ].map(at);
  const days = byDay(all);
  expect(days.map((day) => [day.date, day.lessons.length])).toEqual([
    ['2025-09-05', 1],
    ['2025-09-04', 2],
    ['2025-08-01', 1],
  ]);
  expect(days.flatMap((day) => day.lessons)).toEqual(all);
});

it('prop_counts_stand_beside_what_was_flown_more_than_once', () => {
  expect(
    flownWords([
      { kind: 'steep_turn', title: 'Steep turn', count: 2 },
      { kind: 'landing', title: 'Landing', count: 1 },
    ]),
  ).toBe('Steep turn\u00a0×\u00a02, landing');
});
