import { describe, expect, it } from 'vitest';
import { craftD, fromBody } from './craft';

const level = { place: [0, 0, 0] as const, heading_rad: 0, pitch_rad: 0, bank_rad: 0 };
const round = (at: readonly number[]) => at.map((value) => Math.round(value * 1e6) / 1e6 + 0);

describe('the aircraft at the cursor', () => {
  it('prop: nose, wing and heading go the way they should', () => {
    // Flying north is toward −z; the nose is at −z of the body.
    expect(round(fromBody(level, [0, 0, -1]))).toEqual([0, 0, -1]);
    // Flying east.
    expect(round(fromBody({ ...level, heading_rad: Math.PI / 2 }, [0, 0, -1]))).toEqual([1, 0, 0]);
    // Nose up lifts the nose.
    expect(fromBody({ ...level, pitch_rad: 0.3 }, [0, 0, -1])[1]).toBeCloseTo(Math.sin(0.3), 9);
    // Bank to the right lowers the right wing, whatever the heading.
    for (const heading_rad of [0, 1, 3]) {
      expect(fromBody({ ...level, heading_rad, bank_rad: 0.5 }, [1, 0, 0])[1]).toBeCloseTo(-Math.sin(0.5), 9);
    }
    // Lengths stay.
    const turned = fromBody({ ...level, heading_rad: 1, pitch_rad: 0.4, bank_rad: -0.7 }, [1, 2, 3]);
    expect(Math.hypot(...turned)).toBeCloseTo(Math.hypot(1, 2, 3), 9);
  });

  it('prop: behind the eye it is not drawn', () => {
    expect(craftD(level, 10, () => undefined)).toBe('');
    expect(craftD(level, 10, ([x, , z]) => ({ x, y: z }))).toMatch(/^M.*Z$/);
  });
});
