import { expect, test } from 'vitest';
import { markOf } from '../../flight/document.fixture';
import { marginOf } from './margin';

// By hand: heading 62 ± 10, worst 85.3 is 13.3 past the upper limit; ± 1.5 leaves a decimal.
test('val: outside the upper limit', () => {
  expect(marginOf(markOf())).toEqual({ words: '13.3° outside', outside: true });
});

test('val: across north it is the difference that counts', () => {
  const mark = markOf({ target: 355, low: 345, high: 365, worst: 3, sigma: 2 });
  expect(marginOf(mark)).toEqual({ words: '2° inside', outside: false });
});

test('val: one limit alone', () => {
  const least = markOf({
    criterion: 'min_altitude_agl',
    unit: 'ft',
    target: null,
    low: 1500,
    high: null,
    worst: 3070,
    sigma: 60,
    mark: 'met',
  });
  expect(marginOf(least)?.words).toBe('1,570\u00a0ft inside');
  expect(marginOf({ ...least, worst: 1480, mark: 'too_close' })?.words).toBe('20\u00a0ft outside');
});

test('val: bank to the left stands below zero, limits and all', () => {
  const bank = markOf({ criterion: 'bank', target: -45, low: -50, high: -40, worst: -52, sigma: 1 });
  expect(marginOf(bank)?.words).toBe('2° outside');
});

test('prop: what rounds to nothing is at the limit', () => {
  expect(marginOf(markOf({ worst: 72.2, sigma: 2 }))?.words).toBe('at the limit');
});

test('prop: no number, no limit or no measurement: no margin', () => {
  expect(marginOf(markOf({ worst: null }))).toBeUndefined();
  expect(marginOf(markOf({ target: null, low: null, high: null }))).toBeUndefined();
  expect(marginOf(markOf({ mark: 'not_recorded' }))).toBeUndefined();
  expect(marginOf(markOf({ mark: 'for_instructor' }))).toBeUndefined();
});
