import { describe, expect, it } from 'vitest';
import * as f from './format';

const plain = (text: string) => text.replaceAll('\u00a0', ' ');

describe('numbers', () => {
  // The examples of the look of the sheets (docs/looks.md, "Numbers").
  it.each([
    [26.4, 2.1, 'deg', '26° ± 2°'],
    [0.0553, 0.0078, 'g', '0.055 ± 0.008 g'],
    [2.34, 0.42, 'deg/s', '2.3 ± 0.4°/s'],
    [220.3, 8.2, 'ft', '220 ± 8 ft'],
    [159.6, 12.4, 'ft', '160 ± 12 ft'],
    [-0.2, 12, 'ft', '0 ± 12 ft'],
    [84.7, 3, 'kt', '85 ± 3 kt'],
  ])('prop_rounding_follows_sigma %d ± %d %s', (value, sigma, unit, words) => {
    expect(plain(f.withSigma(value, sigma, unit))).toBe(words);
  });

  it('prop_a_sigma_that_rounds_away_is_not_written_as_certainty', () => {
    expect(plain(f.withSigma(3812, 0.2, 'ft'))).toBe('3,812 ft');
    expect(plain(f.withSigma(3812, null, 'ft'))).toBe('3,812 ft');
  });

  it('prop_no_number_is_never_a_number', () => {
    expect(plain(f.withSigma(NaN, 3, 'kt'))).toMatch(/^unknown/);
    expect(f.number(-0.4)).toBe('0');
    expect(f.number(-1234.5, 1)).toBe('−1,234.5');
  });
});

describe('times', () => {
  // 1 756 994 683 s is 2025-09-04T14:04:43Z. Source: POSIX.1-2017, 4.16 "Seconds Since the Epoch", by hand.
  const utc = new Date(1_756_994_683_000).toISOString();

  it('val_posix_date', () => {
    expect(plain(f.date(utc))).toBe('4 September 2025');
    expect(f.clock(utc, true)).toBe('14:04:43');
    expect(plain(f.moment(utc))).toBe('4 September 2025, 14:04 UTC');
  });

  // 29 February 2000 was a Tuesday. Source: Zeller's congruence (1882) by hand: 29+39+99+24+4+95 = 290 = 3 mod 7.
  it('val_leap_day_weekday', () => {
    expect(plain(f.day('2000-02-29T23:59:59Z'))).toBe('Tuesday, 29 February 2000');
  });

  it('prop_days_count_dates_not_hours', () => {
    expect(f.daysBetween('2025-09-04T23:59:00Z', '2025-09-05T00:01:00Z')).toBe(1);
    expect(f.daysBetween('2024-02-28T12:00:00Z', '2024-03-01T00:00:00Z')).toBe(2);
    expect(f.ago('2025-09-04T23:59:00Z', new Date('2025-09-05T00:01:00Z'))).toBe('yesterday');
    expect(plain(f.ago('2025-09-04T00:00:00Z', new Date('2025-10-12T00:00:00Z')))).toBe('38 days ago');
  });

  it('prop_durations_carry_into_the_next_unit', () => {
    expect(plain(f.duration(59.6))).toBe('1 min');
    expect(plain(f.duration(3599))).toBe('1 h');
    expect(plain(f.duration(4320))).toBe('1 h 12 min');
    expect(f.duration(NaN)).toBe('length unknown');
  });

  it('prop_what_is_no_date_says_so', () => {
    expect(f.date('')).toBe('date unknown');
    expect(f.date(null)).toBe('date unknown');
    expect(f.ago('yesterday')).toBe('date unknown');
  });
});

it('prop_counts_and_sizes_carry_their_unit', () => {
  expect(plain(f.count(1, 'flight'))).toBe('one flight');
  expect(plain(f.count(0, 'flight'))).toBe('no flights');
  expect(plain(f.count(1200, 'row'))).toBe('1,200 rows');
  expect(plain(f.bytes(999))).toBe('999 bytes');
  expect(plain(f.bytes(999_900))).toBe('1.0 MB');
});
