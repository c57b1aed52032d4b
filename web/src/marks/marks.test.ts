import { expect, test } from 'vitest';
import { maneuverOf, markOf } from '../flight/document.fixture';
import type { GivenMark, LessonView } from '../shared/api/types';
import { actOf, confirmAll, confirmRest, needsReason } from './giving';
import { maySign, openOf, repeated } from './open';

// What each act may hold is docs/contract.md, "Entries".
const mark = markOf();
const asked = markOf({ element: 'PA.VII.B.S7', criterion: 'cues_acknowledged', mark: 'for_instructor' });
const stall = maneuverOf({ marks: [mark, asked] });

function given(more: Partial<GivenMark>): GivenMark {
  return {
    number: 2,
    maneuver: { kind: 'power_off_stall', start_s: 100, end_s: 190 },
    element: asked.element,
    criterion: asked.criterion,
    verdict: 'met',
    program: 'for_instructor',
    program_then: null,
    how: 'given',
    reason: '',
    by: { id: 'i', name: 'R. Tern', role: 'instructor' },
    at_utc: '2026-01-01T00:00:00.000Z',
    ...more,
  };
}

function view(marks: GivenMark[], lesson: object = {}): LessonView {
  return {
    lesson: {
      guessed: [],
      student: { id: 's', name: 'S', role: 'student' },
      demonstration: false,
      ...lesson,
    },
    debrief: { maneuvers: [stall, maneuverOf({ number: 3, marked: false, marks: [asked] })] },
    word: { marks },
  } as unknown as LessonView;
}

test('val: the same verdict without a word confirms, anything else is a mark of its own', () => {
  const at = { maneuver: { kind: 'power_off_stall', start_s: 100, end_s: 190 }, element: mark.element };
  expect(actOf(stall, mark, 'not_met', ' ')).toEqual({ kind: 'confirm', ...at, criterion: 'heading' });
  expect(actOf(stall, mark, 'met', ' gust ')).toMatchObject({ kind: 'mark', verdict: 'met', reason: 'gust' });
  expect(actOf(stall, mark, 'not_met', 'seen')).toMatchObject({ kind: 'mark', verdict: 'not_met' });
  expect(confirmAll(stall)).toMatchObject({ kind: 'confirm', element: '', criterion: '' });
});

test('prop: confirming the rest never speaks over what a person said', () => {
  const other = markOf({ criterion: 'altitude', mark: 'met' });
  const close = markOf({ criterion: 'airspeed', mark: 'too_close' });
  const whole = maneuverOf({ marks: [mark, other, close, asked] });
  expect(confirmRest(whole, () => undefined)).toEqual([confirmAll(whole)]);
  const spoken = confirmRest(whole, (one) => (one === mark ? given({ how: 'changed' }) : undefined));
  expect(spoken).toEqual([expect.objectContaining({ kind: 'confirm', criterion: 'altitude' })]);
  expect(confirmRest(maneuverOf({ marks: [close, asked] }), () => undefined)).toEqual([]);
});

test('val: only what the recording decides needs a reason to be changed', () => {
  expect(needsReason('not_met', 'met')).toBe(true);
  expect(needsReason('met', 'met')).toBe(false);
  expect(needsReason('for_instructor', 'not_met')).toBe(false);
  expect(needsReason('too_close', 'met')).toBe(false);
});

test('prop: a mark for the instructor is open until it is given, in marked maneuvers only', () => {
  expect(openOf(view([])).ungiven.map((one) => one.maneuver.number)).toEqual([2]);
  expect(openOf(view([given({})])).ungiven).toEqual([]);
  expect(openOf(view([given({ number: null })])).ungiven).toHaveLength(1);
  expect(openOf(view([given({ number: null })])).homeless).toHaveLength(1);
});

test('prop: a guess or a lesson without a student is not signed; a demonstration needs no student', () => {
  expect(maySign(openOf(view([])))).toBe(true);
  expect(maySign(openOf(view([], { guessed: ['student'] })))).toBe(false);
  expect(maySign(openOf(view([], { student: null })))).toBe(false);
  expect(maySign(openOf(view([], { student: null, demonstration: true })))).toBe(true);
});

test('prop: only what is asked in several maneuvers is answered together', () => {
  const third = maneuverOf({ number: 3, marks: [asked] });
  const alone = markOf({ quantity: 'resource management', mark: 'for_instructor' });
  const groups = repeated([
    { maneuver: stall, mark: asked },
    { maneuver: stall, mark: alone },
    { maneuver: third, mark: asked },
  ]);
  expect(groups.map(({ quantity, all }) => [quantity, all.map(({ maneuver }) => maneuver.number)])).toEqual([
    [asked.quantity, [2, 3]],
  ]);
});

test('prop: what the program says otherwise since is told', () => {
  const open = openOf(view([given({ how: 'changed', program_then: 'met' })]));
  expect(open.changed).toHaveLength(1);
  expect(open.overtaken).toHaveLength(1);
});
