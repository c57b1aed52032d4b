import { describe, expect, it } from 'vitest';
import { TimeAxis } from './axis';
import { drawn } from './lod';
import { readSeries } from './series';
import { seriesBytes } from './series.fixture';

const LEN = 72_000;

/** Two hours at 10 Hz, calm but for one sample. */
function flightWithSpike(at: number) {
  const height = new Float32Array(LEN).map((_, i) => 3000 + 50 * Math.sin(i / 900));
  height[at] = 9000;
  const pitch = new Float32Array(LEN).fill(2);
  pitch.fill(NaN, 30_000, 34_000);
  return readSeries(
    seriesBytes(
      [
        { id: 'altitude_ft', values: height },
        { id: 'pitch_deg', values: pitch },
      ],
      0.1,
    ),
  );
}

describe('what a chart gets', () => {
  it('prop: a spike of one sample survives at any width and any window that holds it', () => {
    for (const at of [1, 12_345, 40_001, LEN - 1]) {
      const series = flightWithSpike(at);
      const columns = series.columns;
      for (const width of [120, 320, 470, 731, 1_180, 2_400]) {
        for (const half_s of [5, 60, 1_000, 7_200]) {
          const t = series.time(at);
          const axis = TimeAxis.linear(Math.max(t - half_s, 0), Math.min(t + half_s, series.end_s), 0, width);
          const data = drawn(series, columns, axis, width);
          expect(data.values[0]).toContain(9000);
          const place = data.values[0]?.indexOf(9000) ?? -1;
          // It stands within a column of where it was.
          const column_s = (axis.end - axis.start) / width;
          expect(Math.abs((data.times[place] ?? NaN) - t)).toBeLessThanOrEqual(Math.max(column_s, 0.1));
        }
      }
    }
  });

  it('prop: never more than a few points a column, times never go back', () => {
    const series = flightWithSpike(5);
    for (const width of [120, 470, 1_180]) {
      const data = drawn(series, series.columns, TimeAxis.linear(0, series.end_s, 0, width), width);
      expect(data.times.length).toBeLessThanOrEqual(width * 16);
      expect(data.times.length).toBeGreaterThanOrEqual(width * 2);
      data.times.slice(1).forEach((t, i) => expect(t).toBeGreaterThan(data.times[i] ?? NaN));
      for (const values of data.values) expect(values.length).toBe(data.times.length);
    }
  });

  it('prop: a hole is drawn as a hole at any width', () => {
    const series = flightWithSpike(5);
    for (const width of [120, 470, 1_180]) {
      const data = drawn(series, series.columns, TimeAxis.linear(0, series.end_s, 0, width), width);
      data.times.forEach((t, i) => {
        if (t > 3_010 && t < 3_390) expect(data.values[1]?.[i]).toBeNull();
        if (t < 2_990 || t > 3_410) expect(data.values[1]?.[i]).not.toBeNull();
      });
    }
  });
});
