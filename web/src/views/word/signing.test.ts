import { expect, test } from 'vitest';
import { maneuverOf, markOf } from '../../flight/document.fixture';
import type { GivenMark, LessonView } from '../../shared/api/types';
import { signingOf, unsaidWords } from './signing';
import { readerSteps, steps } from './remains';

const heading = markOf();
const bank = markOf({ criterion: 'bank', quantity: 'bank', mark: 'met' });
const close = markOf({ criterion: 'airspeed', quantity: 'airspeed', mark: 'too_close' });
const aloud = markOf({ criterion: 'cues', quantity: 'the cues said aloud', mark: 'for_instructor' });

function view(marks: Partial<GivenMark>[], more: object = {}, lesson: object = {}): LessonView {
  return {
    lesson: { guessed: [], student: { id: 's' }, demonstration: false, ...lesson },
    debrief: {
      maneuvers: [
        maneuverOf({ marks: [heading, bank, close, aloud] }),
        maneuverOf({ number: 3, marks: [aloud] }),
        maneuverOf({ number: 4, marked: false, marks: [] }),
      ],
    },
    word: {
      summary: null,
      marks: marks.map((one) => ({ number: 2, element: heading.element, program_then: null, ...one })),
    },
    signed: [],
    changes_since_signing: [],
    ...more,
  } as unknown as LessonView;
}

test('prop: each mark is counted once, whoever spoke of it', () => {
  const signing = signingOf(
    view([
      { criterion: 'heading', verdict: 'met', how: 'changed' },
      { criterion: 'bank', verdict: 'met', how: 'confirmed' },
      { criterion: 'cues', verdict: 'not_met', how: 'given' },
    ]),
  );
  const { changed, given, confirmed, silent, unsaid, marks } = signing;
  expect(changed.length + given.length + confirmed + silent + unsaid.length).toBe(marks);
  expect([changed.length, given.length, confirmed, silent, unsaid.length]).toEqual([1, 1, 1, 1, 1]);
  expect(signing.tally).toEqual([
    { verdict: 'not_met', count: 1 },
    { verdict: 'too_close', count: 1 },
    { verdict: 'met', count: 2 },
    { verdict: 'for_instructor', count: 1 },
  ]);
});

test('val: the same item unsaid in two maneuvers is one line', () => {
  expect(unsaidWords(signingOf(view([])).unsaid)).toEqual(['the cues said aloud: maneuvers 2, 3']);
});

test('prop: what remains is done when nothing remains', () => {
  const of = (one: LessonView, unkept = false) =>
    Object.fromEntries(steps(one, unkept).map((step) => [step.id, step.done]));
  expect(of(view([], {}, { guessed: ['student'] }))).toMatchObject({
    header: false,
    judge: false,
    sign: false,
  });
  const signed = { version: 1 };
  const summary = { text: 'x' };
  const marks = [
    { criterion: 'heading', verdict: 'not_met', how: 'confirmed' },
    { criterion: 'bank', verdict: 'met', how: 'confirmed' },
    { criterion: 'airspeed', verdict: 'met', how: 'changed' },
    { criterion: 'cues', verdict: 'met', how: 'given' },
    { criterion: 'cues', verdict: 'met', how: 'given', number: 3 },
  ] as Partial<GivenMark>[];
  const done = view(marks, { signed: [signed] });
  const all = { ...done, word: { ...done.word, summary } } as unknown as LessonView;
  expect(Object.values(of(all)).every(Boolean)).toBe(true);
  // A summary that was begun and not kept is not done, and a change after signing is to sign again.
  expect(of(all, true)).toMatchObject({ summary: false });
  expect(of({ ...all, changes_since_signing: [{}] } as unknown as LessonView)).toMatchObject({ sign: false });
});

test('prop: nothing is signed before who flew is said', () => {
  const step = steps(view([], {}, { student: null }), false).find((one) => one.needed);
  expect(step).toMatchObject({ id: 'header', done: false });
});

test('prop: a student has the newest version to read until it is acknowledged', () => {
  const version = (acknowledged_utc: string | null) => ({
    version: 2,
    by: { name: 'R. Tern' },
    acknowledged_utc,
  });
  const of = (acknowledged: string | null, more: object = {}) =>
    view([], { signed: [version(acknowledged)], can: { reply: true }, ...more });
  expect(readerSteps(of(null), true)).toMatchObject([{ id: 'read', done: false }]);
  expect(readerSteps(of('2026-01-01T10:00:00Z'), true)).toMatchObject([{ id: 'read', done: true }]);
  // What is being changed is told, and shown only to who may see what was signed.
  const changing = of(null, { changes_since_signing: [{}] });
  expect(readerSteps(changing, true)[1]).toMatchObject({ told: true, at: '#since' });
  expect(readerSteps(changing, false)[1]?.at).toBeUndefined();
  expect(readerSteps(view([], { can: { reply: true } }), true)).toMatchObject([{ told: true }]);
});
