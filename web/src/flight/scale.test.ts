import { describe, expect, it } from 'vitest';
import { level, mirror, nice, padded } from './scale';

describe('scales', () => {
  it('prop: nice ticks are few and inside', () => {
    for (const scale of [
      [3100, 3830],
      [40, 95],
      [-31, 24],
      [0, 0.2],
      [3395, 3405],
    ] as const) {
      const ticks = nice(scale, 3);
      expect(ticks.length).toBeGreaterThanOrEqual(1);
      expect(ticks.length).toBeLessThanOrEqual(5);
      for (const tick of ticks) {
        expect(tick.value).toBeGreaterThanOrEqual(scale[0]);
        expect(tick.value).toBeLessThanOrEqual(scale[1]);
      }
    }
    expect(nice([1, 1], 3)).toEqual([]);
    expect(nice([NaN, 1], 3)).toEqual([]);
  });

  it('prop: zero keeps its place on a second scale', () => {
    const own = mirror([-20, 60], 100);
    expect(level(0, own, 0, 50)).toBeCloseTo(level(0, [-20, 60], 0, 50), 9);
    expect(own[1]).toBeCloseTo(100, 9);
  });

  it('prop: noise does not fill the panel', () => {
    const [low, high] = padded(99.9, 100.1, 20);
    expect(high - low).toBeGreaterThanOrEqual(20);
    expect((low + high) / 2).toBeCloseTo(100, 9);
  });
});
