import { describe, expect, it } from 'vitest';
import { SHORTEST_S, between, panned, zoomed } from './window';

const end_s = 7200;

describe('zoom window', () => {
  it('prop: what is under the pointer stays under it', () => {
    const window = { from_s: 100, to_s: 200 };
    const closer = zoomed(window, 125, 0.5, end_s);
    expect(closer.to_s - closer.from_s).toBeCloseTo(50, 9);
    expect((125 - closer.from_s) / 50).toBeCloseTo(0.25, 9);
    const back = zoomed(closer, 125, 2, end_s);
    expect(back.from_s).toBeCloseTo(100, 9);
    expect(back.to_s).toBeCloseTo(200, 9);
  });

  it('prop: never outside the flight, never shorter than can be seen', () => {
    expect(zoomed({ from_s: 0, to_s: 100 }, 50, 1000, end_s)).toEqual({ from_s: 0, to_s: end_s });
    const least = zoomed({ from_s: 10, to_s: 20 }, 15, 1e-6, end_s);
    expect(least.to_s - least.from_s).toBeCloseTo(SHORTEST_S, 9);
    expect(panned({ from_s: 10, to_s: 20 }, -100, end_s)).toEqual({ from_s: 0, to_s: 10 });
    expect(panned({ from_s: 10, to_s: 20 }, 1e6, end_s)).toEqual({ from_s: end_s - 10, to_s: end_s });
    expect(between(40, 30, end_s)).toEqual({ from_s: 30, to_s: 40 });
    const tiny = between(50, 50.4, end_s);
    expect(tiny.from_s).toBeCloseTo(49.2, 9);
    expect(tiny.to_s).toBeCloseTo(51.2, 9);
  });
});
