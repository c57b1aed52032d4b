import { expect, test } from 'vitest';
import {
  askedHere,
  askedOfKind,
  askedOfThis,
  askedWords,
  formsOf,
  keysOf,
  readNumber,
  withAsked,
} from './briefed';
import type { Briefed } from '../shared/api/types';

// Keys, units and limits are those of docs/briefed-file.md.
const second = { kind: 'power_off_stall', number: 4, start_s: 812, end_s: 890.4 };

test('val: one maneuver is named by a time within it, all of a kind by the kind', () => {
  expect(withAsked({}, second, 'this', { heading_deg: 90 })).toEqual({
    maneuver: [{ kind: 'power_off_stall', at_s: 851.2, heading_deg: 90 }],
  });
  expect(withAsked({}, second, 'kind', { recovery: 'first_indication' })).toEqual({
    maneuver: [{ kind: 'power_off_stall', recovery: 'first_indication' }],
  });
});

test('prop: what is asked for in one scope replaces that scope and leaves all else', () => {
  const before: Briefed = {
    recovery: 'full_stall',
    maneuver: [
      { kind: 'power_off_stall', heading_deg: 90 },
      { kind: 'power_off_stall', nth: 2, bank_deg: 15 },
      { at_s: 847, heading_deg: 100 },
      { kind: 'steep_turn', speed_kias: 95 },
    ],
  };
  const after = withAsked(before, second, 'this', { heading_deg: 110 });
  expect(after.maneuver).toHaveLength(4);
  expect(askedOfThis(after, second)).toEqual({ heading_deg: 110 });
  expect(askedOfKind(after, 'power_off_stall')).toEqual({ heading_deg: 90, recovery: 'full_stall' });
  expect(after.maneuver).toContainEqual({ kind: 'power_off_stall', nth: 2, bank_deg: 15 });
});

test('prop: nothing asked for leaves no entry', () => {
  const before: Briefed = { maneuver: [{ at_s: 847, heading_deg: 100 }] };
  expect(withAsked(before, second, 'this', {})).toEqual({ maneuver: [] });
});

test('val: what is used for each kind', () => {
  expect(keysOf('power_off_stall')).toEqual(['recovery', 'bank_deg', 'heading_deg']);
  expect(keysOf('steep_turn')).toEqual(['speed_kias', 'altitude_ft']);
  expect(keysOf('clearing_turns')).toEqual([]);
});

test('val: numbers outside the limits are told, with the unit', () => {
  expect(readNumber('bank_deg', '80').error).toContain('0 to 75');
  expect(readNumber('heading_deg', '361').error).toBeDefined();
  expect(readNumber('altitude_ft', '3,500')).toEqual({ value: 3500 });
  expect(readNumber('speed_kias', ' ')).toEqual({});
  expect(readNumber('speed_kias', 'slow').error).toContain('kt');
});

test('prop: the closer entry wins, key by key: time over which of its kind, that over the kind', () => {
  const briefed: Briefed = {
    recovery: 'full_stall',
    maneuver: [
      { at_s: 847, heading_deg: 100 },
      { kind: 'power_off_stall', nth: 2, heading_deg: 80, bank_deg: 15 },
      { kind: 'power_off_stall', heading_deg: 90, bank_deg: 10, recovery: 'first_indication' },
      { kind: 'power_off_stall', nth: 1, bank_deg: 20 },
    ],
  };
  const place = { ...second, nth: 2 };
  expect(askedOfThis(briefed, place)).toEqual({ heading_deg: 100, bank_deg: 15 });
  expect(askedHere(briefed, place)).toEqual({ heading_deg: 100, bank_deg: 15, recovery: 'first_indication' });
  expect(askedWords(askedHere(briefed, place))).toBe(
    'recovery at the first indication, bank 15°, heading 100°',
  );
  // Setting it here replaces both entries that spoke of it alone, and nothing else.
  const after = withAsked(briefed, place, 'this', { heading_deg: 110 });
  expect(after.maneuver).toHaveLength(3);
  expect(askedHere(after, place)).toMatchObject({ heading_deg: 110, bank_deg: 10 });
});

test('prop_a_form_is_asked_for_and_taken_back_like_anything_else', () => {
  expect(formsOf('steep_turn')).toEqual([]);
  expect(formsOf('takeoff').map(([id]) => id)).toEqual(['short_field', 'soft_field', 'crosswind', 'plain']);
  const landing = { kind: 'landing', number: 4, start_s: 100, end_s: 160 };
  const asked = withAsked({}, landing, 'this', { variant: 'short_field' });
  expect(askedHere(asked, landing)).toEqual({ variant: 'short_field' });
  expect(askedWords({ variant: 'short_field' })).toBe('short field');
  expect(askedWords({ variant: 'plain' })).toBe('no particular form');
  expect(withAsked(asked, landing, 'this', {}).maneuver).toEqual([]);
});
