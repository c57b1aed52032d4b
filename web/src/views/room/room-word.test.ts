import { describe, expect, test } from 'vitest';
import { debriefOf, maneuverOf, markOf } from '../../flight/document.fixture';
import { Watch } from '../../flight/watch';
import type { Correction, Entry, LessonView } from '../../shared/api/types';
import { changesOf, spokenChanges } from './changes';
import { whyNot } from './may';
import { guesses, settle } from './guesses';
import { correctedBy, setBy } from './origin';
import { beneath, meantStretch } from './stretch';
import { wayWords } from './ways';
import { widened } from './widened';

const watch = new Watch('2025-09-04T14:04:43Z');
const stall = maneuverOf();
const turn = maneuverOf({ number: 3, kind: 'steep_turn', title: 'Steep turn', start_s: 300, end_s: 340, marks: [] }); // prettier-ignore

describe('changes', () => {
  test('val: a mark that turned is told first, with what moved beside it', () => {
    const after = maneuverOf({
      start_s: 102,
      marks: [markOf({ mark: 'met', worst: 70 })],
      facts: { altitude_lost_ft: { value: 180, unit: 'ft', sigma: 6, origin: 'derived' } },
    });
    const [one, ...more] = changesOf(debriefOf([stall, turn]), debriefOf([after, turn]), watch);
    expect(more).toEqual([]);
    expect(one?.changes.map(({ what, turned }) => [what, turned])).toEqual([
      ['Heading to the stall', true],
      ['Boundaries', false],
      ['Height lost', false],
    ]);
    expect(one?.changes[0]).toMatchObject({
      before: expect.stringMatching(/^not met, 23/) as string,
      after: expect.stringMatching(/^met, 8/) as string,
    });
    expect(one?.changes[2]).toMatchObject({
      before: '216\u00a0±\u00a06\u00a0ft',
      after: '180\u00a0±\u00a06\u00a0ft',
    });
    expect(spokenChanges([one!])).toMatch(/^Marked anew\. Heading to the stall: not met, .*, now met/);
  });

  test('prop: the same document changes nothing', () => {
    expect(changesOf(debriefOf([stall, turn]), debriefOf([stall, turn]), watch)).toEqual([]);
    expect(spokenChanges([])).toBe('Marked anew; no mark and no number changed.');
  });

  test('val: what came and what went, each told once though all numbers moved', () => {
    const added = maneuverOf({ number: 1, kind: 'slow_flight', title: 'Slow flight', start_s: 20, end_s: 90, marks: [] }); // prettier-ignore
    const after = [added, { ...stall, number: 2 }];
    const told = changesOf(debriefOf([{ ...stall, number: 1 }, turn]), debriefOf(after), watch);
    expect(told.map(({ maneuver, changes }) => [maneuver, changes.map(({ what }) => what)])).toEqual([
      ['1 Slow flight', ['Added']],
      ['3 Steep turn', ['Taken out']],
    ]);
  });

  test('val: another kind is another task; what both ask for is compared by element, not by code', () => {
    const other = maneuverOf({
      kind: 'power_on_stall',
      title: 'Power-on stall, straight ahead',
      marks: [
        markOf({ element: 'PA.VII.C.S6' }),
        markOf({ element: 'PA.VII.C.S4', criterion: 'power_percent', quantity: 'power', mark: 'met' }),
      ],
    });
    const [one] = changesOf(debriefOf([stall]), debriefOf([other]), watch);
    expect(one?.changes.map(({ what }) => what)).not.toContain('Heading to the stall');
    expect(one?.changes[0]).toMatchObject({ what: 'What it is', turned: true });
    expect(one?.changes.filter((change) => change.turned)).toHaveLength(1);
  });

  test('val: where what was asked for changed, both sides say it', () => {
    const asked = maneuverOf({
      marks: [markOf({ target: 90, low: 80, high: 100, limit_origin: 'briefed', mark: 'met' })],
    });
    const [one] = changesOf(debriefOf([stall]), debriefOf([asked]), watch);
    expect(one?.changes[0]?.before).toContain('asked for 062°');
    expect(one?.changes[0]?.after).toContain('asked for 090°');
  });
});

describe('whose word it is', () => {
  const by = (name: string) => ({ id: name, name, role: 'instructor' as const });
  const entry = (seq: number, name: string, corrections: Correction[]): Entry => ({
    seq,
    id: String(seq),
    at_utc: `2026-01-01T0${String(seq)}:00:00Z`,
    by: by(name),
    act: { kind: 'corrections', corrections },
  });
  const mine: Correction = { do: 'remove', was: { kind: 'steep_turn', start_s: 10, end_s: 50 } };
  const other: Correction = {
    do: 'set',
    was: null,
    kind: 'steep_turn',
    direction: null,
    start_s: 1,
    end_s: 9,
  };

  test('prop: the one who first sent it and since whom it was in every list', () => {
    const entries = [
      entry(1, 'Tern', [mine]),
      entry(2, 'Plover', [other]),
      entry(3, 'Knot', [other, mine]),
      entry(4, 'Rail', [mine]),
    ];
    expect(correctedBy(entries, mine)?.by.name).toBe('Knot');
    expect(correctedBy([...entries].reverse(), mine)?.by.name).toBe('Knot');
    expect(correctedBy(entries, other)).toBeUndefined();
    expect(setBy(entries, 'briefed', () => true)).toBeUndefined();
  });

  test('prop: what is left out and null are the same, in any order of keys', () => {
    const sent: Correction = { do: 'set', kind: 'steep_turn', start_s: 1, end_s: 9 };
    expect(correctedBy([entry(1, 'Tern', [sent])], other)?.by.name).toBe('Tern');
  });
});

describe('who may', () => {
  const view = (more: object = {}, lesson: object = {}): LessonView =>
    ({
      can: { judge: false, sign: false, reply: false, ...more },
      lesson: { state: 'open', demonstration: false, student: { id: 's' }, ...lesson },
    }) as unknown as LessonView;

  test('val: everyone who may not is told why, and who can', () => {
    expect(whyNot(view({ judge: true }), { id: 'i' }, 'instructor')).toBe('');
    expect(whyNot(view({ reply: true }), { id: 's' }, 'student')).toContain('reply');
    expect(whyNot(view(), { id: 'a' }, 'auditor')).toContain('auditor');
    expect(whyNot(view({}, { state: 'set_aside' }), { id: 'i' }, 'instructor')).toContain('set aside');
    expect(whyNot(view({}, { demonstration: true, student: null }), { id: 's' }, 'student')).toContain(
      'demonstration',
    );
  });
});

describe('stretches', () => {
  test('val: a stretch chosen on the traces is meant; a look around, or one over others, is not', () => {
    const all = [stall, turn];
    expect(meantStretch({ from_s: 210.04, to_s: 280 }, 240, all, 1000)).toEqual({ start_s: 210, end_s: 280 });
    expect(meantStretch({ from_s: 200, to_s: 400 }, 240, all, 1000)).toEqual({ start_s: 225, end_s: 255 });
    expect(meantStretch({ from_s: 345, to_s: 990 }, 500, all, 1000)).toEqual({ start_s: 485, end_s: 515 });
    expect(meantStretch(undefined, 5, all, 1000)).toEqual({ start_s: 0, end_s: 20 });
  });

  test('prop: there is room on both sides to move an edge out, within the flight', () => {
    expect(widened({ start_s: 100, end_s: 200 }, 1000)).toEqual({ from_s: 70, to_s: 230 });
    const { from_s, to_s } = widened({ start_s: 3, end_s: 995 }, 1000);
    expect([from_s, to_s]).toEqual([0, 1000]);
  });

  test('prop: what gives way is what is overlapped, not what is touched nor the maneuver itself', () => {
    expect(beneath([stall, turn], { start_s: 150, end_s: 300 }, undefined)).toEqual([stall]);
    expect(beneath([stall, turn], { start_s: 150, end_s: 310 }, stall)).toEqual([turn]);
  });

  test('val: ways in words', () => {
    expect(['left', 'left_right', 'none'].map(wayWords)).toEqual([
      'left',
      'left, then right',
      'no way of its own',
    ]);
  });
});

test('val: what was guessed is confirmed as it stands, and nothing else is set', () => {
  const lesson = {
    guessed: ['student', 'aircraft', 'instructor'],
    student: { id: 's', name: 'Tern', role: 'student' as const },
    instructor: null,
    aircraft: 'Trainer A',
    aircraft_id: 'a',
  };
  expect(guesses(lesson).map(({ field, name }) => [field, name])).toEqual([
    ['student', 'Tern'],
    ['aircraft', 'Trainer A'],
  ]);
  expect(settle(lesson)).toEqual({ kind: 'setting', student_id: 's', aircraft_id: 'a' });
  expect(guesses({ ...lesson, guessed: [] })).toEqual([]);
});
