import { expect, test } from 'vitest';
import type { Act, Entry } from '../shared/api/types';
import { actWords, historyOf, type Names } from './acts';

// Kinds and bodies of entries are those of docs/contract.md, "Entries".
const names: Names = {
  person: (id) => (id === 'p1' ? 'A. Wren' : undefined),
  aircraft: () => 'Trainer B',
  standard: () => undefined,
  maneuver: (ref) => `${ref.kind} at ${String(ref.start_s)} s`,
  clock: (at_s) => `14:00:${String(at_s)}`,
};
const maneuver = { kind: 'steep_turn', start_s: 40, end_s: 80 };
const by = { id: 'i', name: 'R. Tern', role: 'instructor' as const };
const what = (act: Act) => actWords(act, names).what;

test('val: a setting names each thing once, and an id that is not known is not shown', () => {
  expect(what({ kind: 'setting', student_id: 'p1', aircraft_id: 'x', terrain_ft: 1250 })).toBe(
    'set the student to A. Wren; the aircraft to Trainer B; the elevation below to 1,250\u00a0ft above sea level',
  );
  expect(what({ kind: 'setting', terrain_ft: null })).toBe('set the elevation below back to the school’s');
  expect(what({ kind: 'setting', student_id: 'gone' })).toBe('set the student to another person');
  expect(what({ kind: 'setting', student_id: '' })).toBe('set the student to nobody');
});

test('val: marks by their words', () => {
  expect(
    actWords(
      {
        kind: 'mark',
        maneuver,
        element: 'PA.V.A.S5',
        criterion: 'bank',
        verdict: 'not_met',
        reason: 'saw 55',
      },
      names,
    ),
  ).toEqual({ what: 'marked bank (S5) not met, steep_turn at 40 s', text: 'saw 55' });
  expect(what({ kind: 'confirm', maneuver, element: '', criterion: '' })).toContain('every mark');
  expect(what({ kind: 'unmark', maneuver, element: 'PA.V.A.S5', criterion: 'bank' })).toContain('took back');
});

test('prop: whole lists that are empty take all of it back', () => {
  expect(what({ kind: 'corrections', corrections: [] })).toContain('took every correction');
  expect(what({ kind: 'briefed', briefed: {} })).toContain('took back');
});

test('prop: newest first, signatures among the acts; of one instant the later act stands above', () => {
  const entry = (seq: number, at_utc: string): Entry => ({
    seq,
    id: String(seq),
    at_utc,
    by,
    act: { kind: 'unnote', id: 'x' },
  });
  const signed = {
    version: 1,
    sha256: 'ab'.repeat(32),
    previous_sha256: null,
    by,
    at_utc: '2026-01-01T10:30:00.000Z',
    acknowledged_utc: null,
  };
  const lines = historyOf(
    [
      entry(1, '2026-01-01T10:00:00.000Z'),
      entry(2, '2026-01-01T11:00:00.000Z'),
      entry(3, '2026-01-01T11:00:00.000Z'),
    ],
    [signed],
    names,
  );
  expect(lines.map((line) => line.key)).toEqual(['e3', 'e2', 's1', 'e1']);
  expect(lines[2]?.what).toBe('signed version 1, digest abababababab…');
});
