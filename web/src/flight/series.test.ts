import { describe, expect, it } from 'vitest';
import { SeriesError, readSeries } from './series';
import { seriesBytes } from './series.fixture';

const bytes = seriesBytes(
  [
    { id: 'ias_kt', unit: 'kt', sigma: 1.5, values: [60, 62, NaN, 70, 71] },
    { id: 'altitude_ft', unit: 'ft', values: [3000, 2990, 2980, 2985, 3010] },
  ],
  0.5,
);

describe('series', () => {
  it('prop: what was written is read, by name, with unit and σ', () => {
    const series = readSeries(bytes);
    expect(series.len).toBe(5);
    expect(series.end_s).toBe(2);
    expect([...(series.column('ias_kt')?.values ?? [])]).toEqual([60, 62, NaN, 70, 71]);
    expect(series.column('ias_kt')?.header.sigma).toBe(1.5);
    expect(series.column('bank_deg')).toBeUndefined();
  });

  it('prop: values are linear between samples and unknown beside a hole', () => {
    const series = readSeries(bytes);
    expect(series.at('altitude_ft', 0.25)).toBeCloseTo(2995, 4);
    expect(series.at('altitude_ft', 1.5)).toBe(2985);
    expect(series.at('altitude_ft', 99)).toBe(3010);
    expect(series.at('ias_kt', 0.75)).toBeNaN();
    expect(series.at('ias_kt', -1)).toBeNaN();
    expect(series.extremes('altitude_ft', 0, 2)).toEqual({ low: 2980, low_s: 1, high: 3010, high_s: 2 });
    expect(series.extremes('ias_kt', 1, 1)).toBeUndefined();
  });

  it('prop: damaged bytes say what, and how to mend it', () => {
    const cut = (length: number): ArrayBuffer => bytes.slice(0, length);
    for (const damaged of [new ArrayBuffer(0), cut(6), cut(40), cut(bytes.byteLength - 1)]) {
      expect(() => readSeries(damaged)).toThrow(SeriesError);
    }
    const other = bytes.slice(0);
    new Uint8Array(other)[0] = 0x51;
    expect(() => readSeries(other)).toThrow(/do not begin with PWS1.*load the page again/);
    const torn = bytes.slice(0);
    new Uint8Array(torn)[9] = 0x00;
    expect(() => readSeries(torn)).toThrow(/header.*cannot be read/);
  });
});
