import { expect, it } from 'vitest';
import type { LessonBrief, Role } from '../shared/api/types';
import { stateFilters, turn } from './state';

const roles: Role[] = ['chief', 'instructor', 'student', 'auditor'];
const lesson = (state: LessonBrief['state'], guessed: string[] = []) => ({
  state,
  guessed,
  demonstration: false,
});

it('prop_an_auditor_is_never_asked_to_act', () => {
  for (const { state } of stateFilters) expect(turn(lesson(state), 'auditor').yours).toBe(false);
});

it('prop_it_is_one_sides_turn_at_most', () => {
  for (const { state } of stateFilters) {
    const sides = new Set(
      roles.filter((role) => turn(lesson(state), role).yours).map((role) => role === 'student'),
    );
    expect(sides.size, state).toBeLessThanOrEqual(1);
  }
});

it('prop_a_student_reads_what_is_signed_and_confirms_nothing', () => {
  expect(turn(lesson('signed'), 'student')).toEqual({ words: 'to read', yours: true });
  expect(turn(lesson('to_confirm', ['student']), 'student').yours).toBe(false);
  expect(turn(lesson('to_confirm', ['student', 'aircraft']), 'chief').more).toBe('who flew, in what');
});
