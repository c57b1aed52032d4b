import { expect, test } from 'vitest';
import type { Correction } from '../shared/api/types';
import { correctionOf, withAdded, withBounds, withRemoved, withSet, without } from './corrections';
import { around, clockText, moved, readClock } from './span';

// The shapes are those of docs/corrections.md.
const stall = { kind: 'power_on_stall', direction: 'straight', start_s: 812.04, end_s: 890.46 };

test('val: a set names what it replaces as the debrief gave it, in tenths', () => {
  const list = withSet([], stall, { kind: 'power_off_stall', direction: 'left', start_s: 805, end_s: 890.5 });
  expect(list).toEqual([
    {
      do: 'set',
      was: { kind: 'power_on_stall', start_s: 812, end_s: 890.5 },
      kind: 'power_off_stall',
      direction: 'left',
      start_s: 805,
      end_s: 890.5,
    },
  ]);
});

test('prop: setting again what a person set leaves one correction that still names what the program found', () => {
  const first = withSet([], stall, { kind: 'power_off_stall', direction: null, start_s: 805, end_s: 890.5 });
  const now = { kind: 'power_off_stall', direction: 'left', start_s: 805, end_s: 890.5 };
  const second = withBounds(first, now, { start_s: 801.26, end_s: 880 });
  expect(second).toHaveLength(1);
  expect(second[0]).toMatchObject({
    was: { kind: 'power_on_stall', start_s: 812 },
    start_s: 801.3,
    end_s: 880,
  });
});

test('prop: bounds alone leave the direction to the flight', () => {
  expect(withBounds([], stall, { start_s: 810, end_s: 890 })[0]).toMatchObject({ direction: null });
});

test('prop: the latest correction is the last, for the later of two wins', () => {
  const other = { kind: 'steep_turn', direction: 'left', start_s: 100, end_s: 140 };
  let list = withBounds([], stall, { start_s: 810, end_s: 890 });
  list = withBounds(list, other, { start_s: 99, end_s: 140 });
  list = withBounds(list, { ...stall, start_s: 810, end_s: 890 }, { start_s: 811, end_s: 890 });
  expect(list.map((one) => (one.do === 'set' ? one.kind : ''))).toEqual(['steep_turn', 'power_on_stall']);
});

test('prop: taking out what a person had added leaves nothing; taking out what was found says so', () => {
  const added = withAdded([], { kind: 'steep_turn', direction: null, start_s: 1210, end_s: 1248 });
  expect(withRemoved(added, { kind: 'steep_turn', direction: 'left', start_s: 1210, end_s: 1248 })).toEqual(
    [],
  );
  expect(withRemoved([], stall)).toEqual([
    { do: 'remove', was: { kind: 'power_on_stall', start_s: 812, end_s: 890.5 } },
  ]);
});

test('prop: what was taken back is gone and the rest stays', () => {
  const list: Correction[] = withRemoved(withBounds([], stall, { start_s: 810, end_s: 890 }), {
    kind: 'clearing_turns',
    direction: 'left_right',
    start_s: 640,
    end_s: 690,
  });
  const mine = correctionOf(list, { ...stall, start_s: 810, end_s: 890 });
  expect(mine).toBeDefined();
  expect(without(list, mine!).map((one) => one.do)).toEqual(['remove']);
});

test('prop: an edge stays within the flight and leaves five seconds', () => {
  const span = { start_s: 20, end_s: 40 };
  expect(moved(span, 'start', -3, 100)).toEqual({ start_s: 0, end_s: 40 });
  expect(moved(span, 'start', 39, 100)).toEqual({ start_s: 35, end_s: 40 });
  expect(moved(span, 'end', 140, 100.07)).toEqual({ start_s: 20, end_s: 100 });
  expect(moved(span, 'end', 21, 100)).toEqual({ start_s: 20, end_s: 25 });
  expect(moved(span, 'end', NaN, 100)).toEqual({ start_s: 20, end_s: 25 });
});

test('prop: a new span lies around the cursor and within the flight', () => {
  expect(around(50, 100)).toEqual({ start_s: 35, end_s: 65 });
  expect(around(2, 100)).toEqual({ start_s: 0, end_s: 17 });
  expect(around(99, 100).end_s).toBe(100);
});

test('prop: a clock time is read back to the tenth, over midnight too, and nonsense is not read', () => {
  const start = Date.UTC(2025, 8, 4, 23, 50, 0) / 1000;
  for (const t of [0, 12.3, 599.9, 600, 1234.5]) {
    expect(readClock(clockText(t, start), start)).toBeCloseTo(t, 6);
    expect(readClock(clockText(t, undefined), undefined)).toBeCloseTo(t, 6);
  }
  expect(clockText(600, start)).toBe('00:00:00.0');
  expect(readClock('14:61:00', start)).toBeUndefined();
  expect(readClock('soon', start)).toBeUndefined();
});
