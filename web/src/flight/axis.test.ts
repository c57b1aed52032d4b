import { describe, expect, it } from 'vitest';
import { SEAM_PX, TimeAxis, spread } from './axis';

const stretched = TimeAxis.stretched(
  [
    { t0: 100, t1: 150, share: 0.25 },
    { t0: 150, t1: 170, share: 0.6 },
    { t0: 170, t1: 190, share: 0.15 },
  ],
  40,
  540,
);

describe('time axis', () => {
  it('prop: time to px and back is the same time, in every piece', () => {
    for (let t = 100; t <= 190; t += 0.37) {
      const x = stretched.x(t);
      expect(x).toBeDefined();
      expect(stretched.toTime(x ?? NaN)).toBeCloseTo(t, 6);
    }
  });

  it('prop: x never goes back as time goes on, and the ends are the edges', () => {
    let last = -Infinity;
    for (let t = 100; t <= 190; t += 0.05) {
      const x = stretched.clamped(t);
      expect(x).toBeGreaterThanOrEqual(last - 1e-9);
      last = x;
    }
    expect(stretched.clamped(100)).toBe(40);
    expect(stretched.clamped(190)).toBeCloseTo(540, 9);
    expect(stretched.clamped(-5)).toBe(40);
    expect(stretched.clamped(NaN)).toBe(40);
    expect(stretched.x(99.9)).toBeUndefined();
  });

  it('prop: pieces are linear, share the width as asked, and stand a seam apart', () => {
    const [a, b, c] = stretched.pieces;
    if (!a || !b || !c) throw new Error('three pieces');
    expect(b.x0 - a.x1).toBeCloseTo(SEAM_PX, 9);
    expect(c.x0 - b.x1).toBeCloseTo(SEAM_PX, 9);
    expect((b.x1 - b.x0) / (a.x1 - a.x0)).toBeCloseTo(0.6 / 0.25, 9);
    expect(stretched.x(160)).toBeCloseTo((b.x0 + b.x1) / 2, 9);
    // A px inside the gap belongs to the seam.
    expect(stretched.toTime(a.x1 + 3)).toBe(150);
  });

  it('prop: tick labels keep apart and stand on round clock times', () => {
    for (const [t0, t1] of [
      [3, 5000],
      [0, 7200],
      [12.3, 14.1],
      [100, 190],
    ] as const) {
      const ticks = TimeAxis.linear(t0, t1, 0, 400).ticks(17, 44);
      expect(ticks.length).toBeGreaterThan(2);
      ticks.slice(1).forEach((tick, i) => expect(tick.x - (ticks[i]?.x ?? 0)).toBeGreaterThanOrEqual(44));
      for (const tick of ticks)
        expect(Math.abs((tick.t + 17) * 10 - Math.round((tick.t + 17) * 10))).toBeLessThan(1e-6);
    }
  });
});

describe('spread', () => {
  it('prop: keeps order, distance and bounds', () => {
    const places = spread([10, 10, 11, 12, 90, 99, 99.5], 8, 0, 100);
    places.slice(1).forEach((place, i) => expect(place - (places[i] ?? 0)).toBeGreaterThanOrEqual(8 - 1e-9));
    expect(places[0]).toBeGreaterThanOrEqual(0);
    expect(places[6]).toBeLessThanOrEqual(100 + 1e-9);
    expect(spread([50], 8, 0, 100)).toEqual([50]);
    expect(spread([], 8, 0, 100)).toEqual([]);
  });

  it('prop: what is far enough apart stays where it wished', () => {
    expect(spread([5, 40, 80], 16, 0, 100)).toEqual([5, 40, 80]);
  });
});
