import { expect, it } from 'vitest';
import { lineCount, offsetOf } from './places';

const text = 'a = 1\nname = "φ🛩 x"\n\nlast';

it('prop_the_offset_points_at_the_very_character', () => {
  expect(text.slice(offsetOf(text, 1, 5))).toMatch(/^1/);
  expect(text.slice(offsetOf(text, 2, 9))).toMatch(/^φ/);
  expect(text.slice(offsetOf(text, 2, 12))).toMatch(/^x/); // After a letter of two code units.
  expect(text.slice(offsetOf(text, 4, 1))).toBe('last');
  expect(lineCount(text)).toBe(4);
});

it('prop_places_beyond_the_text_stay_within_it', () => {
  expect(offsetOf(text, 0, 0)).toBe(0);
  expect(offsetOf(text, 99, 99)).toBe(text.length);
  expect(offsetOf('', 3, 3)).toBe(0);
});
