import { describe, expect, it } from 'vitest';
import { TimeAxis } from '../flight/axis';
import { markOf, maneuverOf, ribbonOf } from '../flight/document.fixture';
import { DECIDED, MOST, SCALE, excursions, extent, hasRow, ribbonShape, rowsOf } from './ribbon';

const axis = TimeAxis.linear(100, 190, 0, 900);
const measure = (words: string): number => words.length * 6;
const shape = (mark: ReturnType<typeof markOf>) => ribbonShape(mark, axis, 50, measure);

describe('ribbon', () => {
  it('prop: the band is ±1 over the graded span only', () => {
    expect(shape(markOf()).band).toEqual({ x: 100, y: 50 - SCALE, width: 550, height: 2 * SCALE });
    expect(shape(markOf()).labels.map(({ words }) => words)).toEqual(['+10°', '−10°']);
  });

  it('prop: outside the span the line is thin; a one-sided limit has none after it', () => {
    const two = shape(markOf());
    expect(two.outer.split('M')).toHaveLength(3);
    const one = shape(markOf({ low: null }));
    expect(one.outer.split('M')).toHaveLength(2);
    expect(one.labels.map(({ words }) => words)).toEqual(['72°']);
  });

  // JCGM 106:2012, 8.3.2: a decision beyond doubt at one-sided 95 % needs 1.645 standard uncertainties, in both ways.
  it('val: hatching only where the peak less 1.645 σ lies outside', () => {
    const peak = (height: number, sigma: number) =>
      shape(markOf({ ribbon: ribbonOf((t) => (Math.abs(t - 140) < 2 ? height : 0), { sigma }) }));
    const sigma = 0.2;
    expect(peak(1 + 1.645 * sigma + 0.01, sigma).hatch).not.toBe('');
    expect(peak(1 + 1.645 * sigma - 0.01, sigma).hatch).toBe('');
    expect(peak(-1 - 1.645 * sigma - 0.01, sigma).hatch).not.toBe('');
    expect(DECIDED).toBe(1.645);
  });

  it('prop: a mark that reads too close is never hatched, nor a side without a limit', () => {
    expect(shape(markOf({ mark: 'too_close' })).hatch).toBe('');
    expect(shape(markOf({ high: null })).hatch).toBe('');
  });

  it('prop: a value past its row breaks the line instead of a flat top', () => {
    const far = shape(markOf({ ribbon: ribbonOf((t) => (t > 130 && t < 140 ? MOST + 2 : 0)) }));
    expect(far.line.split('M')).toHaveLength(3);
    const ys = [...far.line.matchAll(/ (-?[\d.]+)/g)].map((match) => Number(match[1]));
    expect(Math.min(...ys)).toBeGreaterThanOrEqual(50 - SCALE * (MOST + 0.31));
  });

  it('prop: a row is as tall as its excursion', () => {
    const tall = extent(markOf());
    expect(tall.up).toBeCloseTo(2 * SCALE, 1);
    expect(tall.down).toBe(SCALE);
    expect(extent(markOf({ ribbon: ribbonOf(() => 99) })).up).toBe(MOST * SCALE);
  });

  it('prop: moments are dots with ±σ and no line; the one outside is told by its shape', () => {
    const ribbon = ribbonOf(() => null, {
      style: 'moments',
      moments_s: [112, 116],
      deviation: [0.5, 1.6],
      graded_from_s: 112,
      graded_to_s: 116,
      sigma: 0.2,
    });
    const moments = shape(markOf({ low: null, high: 90, unit: 'kt', target: null, ribbon }));
    expect(moments.line).toBe('');
    expect(moments.dots.map(({ outside }) => outside)).toEqual([false, true]);
    expect(moments.dots[0]?.half).toBeCloseTo(2, 6);
  });

  it('prop: a clock begins at its moment; what was over is hatched only when decided', () => {
    const ribbon = ribbonOf(() => null, { style: 'clock', graded_from_s: 165, deviation: [1.5] });
    const clock = (worst: number, sigma: number) =>
      shape(markOf({ unit: 's', target: null, low: null, high: 3, worst, sigma, ribbon })).clock;
    expect(clock(1.3, 0.3)?.bar).toMatchObject({ x: 650, width: expect.closeTo(13, 6) as number });
    expect(clock(1.3, 0.3)?.limit).toBeCloseTo(680, 6);
    expect(clock(4, 0.3)?.over).toBeDefined();
    expect(clock(3.2, 0.3)?.over).toBeUndefined();
    // A least time ends at its moment.
    const least = shape(
      markOf({ unit: 's', target: null, low: 5, high: null, worst: 30, sigma: 2, ribbon }),
    ).clock;
    expect(least?.bar.x).toBeCloseTo(350, 6);
  });

  it('prop: nothing recorded is dashed limits and one line of words', () => {
    const empty = shape(markOf({ mark: 'not_recorded', ribbon: null, note: 'no flap channel' }));
    expect(empty.limits.every(({ dashed }) => dashed)).toBe(true);
    expect(empty.words?.words).toBe('no flap channel');
    expect(empty.line).toBe('');
  });

  it('prop: out of view, nothing of a span is drawn', () => {
    const elsewhere = ribbonShape(markOf(), TimeAxis.linear(400, 500, 0, 900), 50, measure);
    expect(elsewhere.band).toBeUndefined();
    expect(elsewhere.line).toBe('');
    expect(elsewhere.labels).toEqual([]);
  });

  it('prop: excursions are cut at the limit', () => {
    const run = [[0, 0], [1, 2], [2, 2], [3, 0], [4, 0]] as const; // prettier-ignore
    expect(excursions(run, (y) => y - 1)).toEqual([
      [
        [0.5, 1],
        [1, 2],
        [2, 2],
        [2.5, 1],
      ],
    ]);
  });
});

describe('rows', () => {
  it('prop: what was not met stands first, empty rows last and at most three', () => {
    const empty = ['heading', 'altitude', 'airspeed', 'bank'].map((criterion) =>
      markOf({ mark: 'not_recorded', criterion, ribbon: null }),
    );
    const marks = [...empty, markOf({ mark: 'met' }), markOf({ mark: 'too_close' }), markOf()];
    expect(rowsOf(maneuverOf({ marks })).map(({ mark }) => mark)).toEqual([
      'not_met',
      'too_close',
      'met',
      'not_recorded',
      'not_recorded',
      'not_recorded',
    ]);
  });

  it('prop: a count, an item for the instructor and a limit never come near have no row', () => {
    expect(hasRow(markOf({ unit: 'steps' }))).toBe(false);
    expect(hasRow(markOf({ mark: 'for_instructor' }))).toBe(false);
    expect(hasRow(markOf({ mark: 'met', low: null, ribbon: ribbonOf(() => -0.5) }))).toBe(false);
    expect(hasRow(markOf({ mark: 'met', low: null, ribbon: ribbonOf(() => 0.5) }))).toBe(true);
  });
});
