import { describe, expect, it } from 'vitest';
import { keep, missOf, runs } from './thin';

/** Reproducible noise. */
function noise(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 1664525 + 1013904223) % 4294967296;
    return state / 4294967296 - 0.5;
  };
}

describe('thinning', () => {
  it('prop: at every sample the kept line is within the bound, and both ends stay', () => {
    const random = noise(7);
    const x = Array.from({ length: 5000 }, (_, i) => i * 4 + random() * 3);
    const y = Array.from({ length: 5000 }, (_, i) => 400 * Math.sin(i / 130) + random() * 2);
    for (const bound of [0.5, 1.5, 10, 100]) {
      const kept = keep(0, 4999, missOf(bound, x, y));
      expect(kept[0]).toBe(0);
      expect(kept.at(-1)).toBe(4999);
      for (let k = 1; k < kept.length; k += 1) {
        const [a, b] = [kept[k - 1]!, kept[k]!];
        for (let i = a; i <= b; i += 1) {
          const share = (i - a) / (b - a);
          const off = Math.hypot(
            x[i]! - x[a]! - share * (x[b]! - x[a]!),
            y[i]! - y[a]! - share * (y[b]! - y[a]!),
          );
          expect(off).toBeLessThanOrEqual(bound + 1e-9);
        }
      }
    }
  });

  it('prop: a straight line at even speed keeps only its ends; one sample beside it is kept', () => {
    const x = Array.from({ length: 1000 }, (_, i) => i);
    const y = new Array<number>(1000).fill(3);
    expect(keep(0, 999, missOf(1, x, y))).toEqual([0, 999]);
    y[500] = 9;
    expect(keep(0, 999, missOf(1, x, y))).toContain(500);
    // The same line flown unevenly is another path: where it is when counts too.
    const stops = x.map((at) => Math.min(at, 400));
    expect(keep(0, 999, missOf(1, stops))).toContain(400);
  });

  it('prop: runs are what is known, longer than a sample', () => {
    const known = [1, 1, 0, 1, 0, 0, 1, 1, 1];
    expect(runs(known.length, (i) => known[i] === 1)).toEqual([
      [0, 1],
      [6, 8],
    ]);
    expect(runs(0, () => true)).toEqual([]);
    expect(keep(3, 3, () => 0)).toEqual([3]);
    expect(keep(3, 2, () => 0)).toEqual([]);
  });
});
