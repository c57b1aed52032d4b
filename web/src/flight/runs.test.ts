import { describe, expect, it } from 'vitest';
import { TimeAxis } from './axis';
import { pathOf, runsOf, thin, type Point, type Samples } from './runs';

function every(step: number, values: readonly number[]): Samples {
  return { length: values.length, time: (i) => i * step, value: (i) => values[i] ?? NaN };
}

describe('runs', () => {
  const line = every(1, [0, 10, 20, 30, 40, 50, 60, 70, 80, 90, 100]);

  it('prop: a line is cut exactly at the edges of the axis, between samples too', () => {
    const [run] = runsOf(TimeAxis.linear(2.5, 7.25, 0, 100), line, (v) => v);
    expect(run?.[0]).toEqual([0, 25]);
    expect(run?.at(-1)).toEqual([100, 72.5]);
    const [inside] = runsOf(TimeAxis.linear(3.2, 3.8, 0, 60), line, (v) => v);
    expect(inside?.map(([x, y]) => [Math.round(x), Math.round(y)])).toEqual([
      [0, 32],
      [60, 38],
    ]);
  });

  it('prop: a hole and a seam break the line', () => {
    const holed = every(1, [0, 1, NaN, 3, 4, 5, 6]);
    expect(runsOf(TimeAxis.linear(0, 6, 0, 60), holed, (v) => v).map((run) => run.length)).toEqual([2, 4]);
    const cut = TimeAxis.stretched(
      [
        { t0: 0, t1: 4.5, share: 0.5 },
        { t0: 4.5, t1: 10, share: 0.5 },
      ],
      0,
      106,
    );
    const [left, right] = runsOf(cut, line, (v) => v);
    expect(left?.at(-1)).toEqual([50, 45]);
    expect(right?.[0]).toEqual([56, 45]);
  });

  it('prop: a part of the time only', () => {
    const [run] = runsOf(TimeAxis.linear(0, 10, 0, 100), line, (v) => v, 2.5, 4);
    expect(run).toEqual([
      [25, 25],
      [30, 30],
      [40, 40],
    ]);
  });

  it('prop: thinning keeps every spike and the order', () => {
    const points = Array.from({ length: 20_000 }, (_, i): Point => [
      i * 0.02,
      i === 777 ? 5 : i === 778 ? -7 : i === 15_003 ? 9 : 0,
    ]);
    const kept = thin(points);
    expect(kept.length).toBeLessThan(1_300);
    for (const spike of [5, -7, 9]) expect(kept.some(([, y]) => y === spike)).toBe(true);
    kept.slice(1).forEach(([x], i) => expect(x).toBeGreaterThanOrEqual(kept[i]?.[0] ?? 0));
  });

  it('prop: path text', () => {
    expect(
      pathOf([
        [
          [0, 1],
          [2.004, 3.339],
        ],
        [
          [5, 5],
          [6, 6],
        ],
      ]),
    ).toBe('M0 1L2 3.34M5 5L6 6');
  });
});
