import { describe, expect, it } from 'vitest';
import { fileWords, flownWords, notShown, pointWords, shown } from './day-fit';
import type { FitOfTheDay, FitRow } from './document';

const spaces = (text: string): string => text.replaceAll('\u00a0', ' ');

function rowOf(more: Partial<FitRow> = {}): FitRow {
  return {
    id: 'vy',
    name: 'Best rate of climb, VY',
    unit: 'kt',
    flown: 76.6,
    sigma: 2.4,
    file: 74,
    reason: null,
    ...more,
  };
}

describe('the fit of the day in words', () => {
  const why = 'no glide with the throttle closed and flaps up was flown';
  const fit: FitOfTheDay = {
    caution: 'These are not the manual’s figures.',
    words: [],
    rows: [
      rowOf(),
      rowOf({ id: 'best_glide', name: 'Best glide', flown: null, sigma: null, reason: why }),
      rowOf({ id: 'glide_ratio', name: 'Glide ratio', unit: '', flown: null, file: null, reason: why }),
    ],
    points: [],
  };

  it('prop: what has no value is told with its reason, once, and never as a number', () => {
    expect(shown(fit).map(({ id }) => id)).toEqual(['vy']);
    expect(notShown(fit)).toEqual([{ why, what: 'Best glide; Glide ratio' }]);
    expect(flownWords(rowOf({ flown: null }))).toBe('');
    expect(fileWords(rowOf({ file: null }))).toBe('');
  });

  it('rounds by the σ', () => {
    expect(spaces(flownWords(rowOf()))).toBe('77 ± 2 kt');
    expect(spaces(fileWords(rowOf()))).toBe('74 kt');
    expect(spaces(flownWords(rowOf({ unit: '', flown: 8.09, sigma: 0.23 })))).toBe('8.1 ± 0.2');
  });

  it('tells drag and thrust as parts of the weight', () => {
    const point = {
      name: 'Full power at VY',
      speed_kt: 76.6,
      thrust: 0.2134,
      thrust_sigma: 0.006,
      drag: 0.1321,
      drag_sigma: 0.005,
      climb_fpm: 640,
      climb_sigma_fpm: 22,
    };
    expect(spaces(pointWords(point))).toBe(
      '77 kt: drag 13.2 ± 0.5 % and thrust 21.3 ± 0.6 % of the weight, climb 640 ± 22 ft/min',
    );
  });
});
