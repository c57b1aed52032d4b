import { expect, test } from 'vitest';
import type { Difference } from '../shared/api/types';
import { grouped, parted, under } from './differences';

function difference(what: string, maneuver: string | null = null): Difference {
  const sentence = maneuver ? `${maneuver}: heading was met.` : 'The title was A.';
  return { maneuver, start_s: maneuver ? 10 : null, what, before: '', after: '', sentence };
}

test('prop: nothing is lost between people and program', () => {
  const all = ['word', 'summary', 'student', 'mark', 'limit', 'aircraft', 'what comes later'].map((what) =>
    difference(what),
  );
  const { people, program } = parted(all);
  expect(people.map((one) => one.what)).toEqual(['word', 'summary', 'student']);
  expect([...people, ...program]).toHaveLength(all.length);
});

test('prop: grouped in the order they come, the maneuver is said once', () => {
  const all = [difference('title'), difference('mark', 'Stall, 14:31'), difference('limit', 'Stall, 14:31')];
  expect(grouped(all).map((group) => [group.title, group.differences.length])).toEqual([
    ['', 1],
    ['Stall, 14:31', 2],
  ]);
  expect(under('Stall, 14:31', all[1]!.sentence)).toBe('Heading was met.');
  expect(under('', 'The title was A.')).toBe('The title was A.');
});
