import { describe, expect, it } from 'vitest';
import type { ManeuverBrief, TaskView } from '../shared/api/types';
import { attempt, evidence, onYear } from './evidence';

function maneuver(
  kind: string,
  start_utc: string,
  marks: Record<string, number>,
  demonstration = false,
): ManeuverBrief {
  return {
    lesson_id: 'l',
    number: 1,
    kind,
    title: kind,
    start_utc,
    start_s: 0,
    end_s: 60,
    student: null,
    demonstration,
    marks,
  };
}
const task = (kind: string): TaskView => ({ code: kind, kind, title: kind, elements: [] });

describe('evidence', () => {
  it('prop_what_needs_attention_first_stands_for_the_maneuver', () => {
    expect(attempt(maneuver('x', '', { met: 11, not_met: 1, too_close: 2 })).verdict).toBe('not_met');
    expect(attempt(maneuver('x', '', { met: 11, too_close: 1, for_instructor: 2 })).verdict).toBe(
      'too_close',
    );
    expect(attempt(maneuver('x', '', { met: 1, not_recorded: 9 })).verdict).toBe('met');
    expect(attempt(maneuver('x', '', {})).verdict).toBe('not_recorded');
  });

  it('prop_what_only_a_person_can_judge_is_not_counted_as_missed', () => {
    const { met, asked } = attempt(
      maneuver('x', '', { met: 11, not_met: 1, for_instructor: 2, not_recorded: 3 }),
    );
    expect([met, asked]).toEqual([11, 12]);
  });

  it('prop_tasks_keep_their_order_attempts_their_time_and_demonstrations_stay_out', () => {
    const rows = evidence(
      [task('steep_turn'), task('slow_flight')],
      [
        maneuver('steep_turn', '2025-09-04T10:00:00Z', { met: 1 }),
        maneuver('steep_turn', '2025-03-01T10:00:00Z', { not_met: 1 }),
        maneuver('steep_turn', '2025-10-01T10:00:00Z', { met: 1 }, true),
      ],
    );
    expect(rows.map((row) => row.kind)).toEqual(['steep_turn', 'slow_flight']);
    expect(rows[0]?.attempts.map((each) => each.verdict)).toEqual(['not_met', 'met']);
    expect(rows[1]?.attempts).toEqual([]);
  });

  it('prop_a_form_with_a_task_of_its_own_counts_there_and_any_other_as_none', () => {
    const short = { ...task('landing'), code: 'F', variant: 'short_field' };
    const flown = (day: string, variant?: string) => ({
      ...maneuver('landing', `2025-09-${day}T10:00:00Z`, { met: 1 }),
      variant: variant ?? null,
    });
    const rows = evidence(
      [task('landing'), short],
      [flown('01'), flown('02', 'short_field'), flown('03', 'soft_field')],
    );
    expect(rows.map((row) => row.code)).toEqual(['landing', 'F']);
    const days = rows.map((row) => row.attempts.map((each) => each.utc.slice(8, 10)));
    expect(days).toEqual([['01', '03'], ['02']]);
  });

  it('prop_the_line_is_one_year_and_ends_today', () => {
    const now = new Date('2025-11-24T12:00:00Z');
    expect(onYear('2025-11-24T12:00:00Z', now)).toBe(1);
    expect(onYear('2024-11-24T12:00:00Z', now)).toBeCloseTo(0, 9);
    expect(onYear('2024-11-23T12:00:00Z', now)).toBeNull();
    expect(onYear('2026-01-01T00:00:00Z', now)).toBe(1); // A clock that runs ahead.
  });
});
