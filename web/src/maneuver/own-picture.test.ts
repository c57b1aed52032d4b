import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { ManeuverPicture, PictureDrawing } from '../shared/api/types';
import { drawingFor, inkOf, keep, kept } from './own-picture';

const theme = readFileSync(new URL('../shared/theme.css', import.meta.url), 'utf8');
const drawing = (width: number): PictureDrawing => ({
  width,
  height: 200,
  title: 'Chandelle: against heading turned',
  description: 'Bank 30° at 90°.',
  items: [
    { kind: 'path', d: 'M0 0l10 10', stroke: 'ink', stroke_width: 1.7, dashed: false },
    { kind: 'words', x: 0, y: 12, size: 10.5, ink: 'ink3', bold: false, text: '90°' },
  ],
});
const picture: ManeuverPicture = { wide: drawing(695), narrow: drawing(358) };

describe('the picture of a kind', () => {
  it('prop: a phone gets the drawing that was made for it, a desk the wide one', () => {
    expect(drawingFor(picture, 380)?.drawing.width).toBe(358);
    expect(drawingFor(picture, 900)?.drawing.width).toBe(695);
  });

  it.each([320, 358, 400, 689, 690, 714, 1200])(
    'prop: at %i px it is never wider than its place',
    (width) => {
      const shown = drawingFor(picture, width);
      expect(shown).toBeDefined();
      if (shown) expect(shown.drawing.width * shown.scale).toBeLessThanOrEqual(width + 1e-9);
    },
  );

  it('prop: a kind without a picture, and one that has not come, draw nothing', () => {
    expect(drawingFor({ wide: null, narrow: null }, 700)).toBeUndefined();
    expect(drawingFor({}, 700)).toBeUndefined();
    expect(drawingFor(undefined, 700)).toBeUndefined();
    expect(drawingFor(picture, 0)).toBeUndefined();
  });

  it('prop: a picture is of one maneuver as it was marked once', () => {
    keep({ id: 'a', number: 1, inputs: 'x' }, picture);
    expect(kept({ id: 'a', number: 1, inputs: 'x' })).toBe(picture);
    expect(kept({ id: 'a', number: 2, inputs: 'x' })).toBeUndefined();
    expect(kept({ id: 'a', number: 1, inputs: 'y' })).toBeUndefined();
    for (let i = 0; i < 100; i += 1) keep({ id: 'b', number: i, inputs: 'x' }, picture);
    expect(kept({ id: 'a', number: 1, inputs: 'x' })).toBeUndefined();
    expect(kept({ id: 'b', number: 99, inputs: 'x' })).toBe(picture);
  });

  // The roles of crates/press/src/palette.rs, typed from there.
  it.each(['paper', 'ink', 'ink2', 'ink3', 'dev', 'out', 'sig', 'band', 'phase', 'rule'])(
    'prop: %s has an ink of the page, in light and in dark',
    (role) => {
      const name = /^var\((--[a-z0-9-]+)\)$/.exec(inkOf(role))?.[1];
      expect(name).toBeDefined();
      expect(theme.split(`${name ?? '?'}:`).length - 1).toBeGreaterThanOrEqual(3);
    },
  );

  it('prop: nothing is filled where nothing was said', () => {
    expect(inkOf(null)).toBe('none');
    expect(inkOf(undefined)).toBe('none');
    expect(inkOf('"><script>')).toBe('var(--ink)');
  });
});
