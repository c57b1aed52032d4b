import { describe, expect, it } from 'vitest';
import { Pyramid } from './pyramid';

function noisy(length: number): Float32Array {
  // Park and Miller's generator, so that the test is the same everywhere.
  let seed = 20_251_104;
  return Float32Array.from({ length }, () => {
    seed = (seed * 48_271) % 2_147_483_647;
    return seed / 2_147_483_647;
  });
}

describe('pyramid', () => {
  it('prop: a spike of one sample is in every level, wherever it lies', () => {
    for (const at of [0, 7, 8, 12_345, 35_999, 71_999]) {
      const values = noisy(72_000);
      values[at] = 50;
      values[(at + 31_000) % 72_000] = -50;
      const pyramid = new Pyramid(values);
      expect(pyramid.levels.length).toBeGreaterThan(4);
      for (const level of pyramid.levels) {
        expect(Math.max(...level.max)).toBe(50);
        expect(Math.min(...level.min)).toBe(-50);
        expect(level.max[Math.floor(at / level.size)]).toBe(50);
      }
    }
  });

  it('prop: extremes of any stretch are those of a plain search', () => {
    const values = noisy(5_003);
    for (let i = 900; i < 1_000; i += 1) values[i] = NaN;
    const pyramid = new Pyramid(values);
    for (const [from, to] of [
      [0, 5_002],
      [3, 4],
      [7, 7],
      [100, 4_100],
      [950, 1_200],
      [4_990, 9_999],
    ] as const) {
      const plain = [...values.slice(from, to + 1)].filter((value) => !Number.isNaN(value));
      expect(pyramid.extremes(from, to)).toEqual({ min: Math.min(...plain), max: Math.max(...plain) });
    }
    expect(pyramid.extremes(910, 980)).toBeUndefined();
  });

  it('prop: a bucket is unknown only where all of its samples are', () => {
    const values = noisy(20_000);
    values.fill(NaN, 9_984, 10_112);
    for (const level of new Pyramid(values).levels) {
      const unknown = level.min.reduce((count, value) => count + (Number.isNaN(value) ? 1 : 0), 0);
      expect(unknown).toBe(level.size <= 128 ? Math.floor(128 / level.size) : 0);
    }
  });

  it('prop: the level chosen has at least two buckets a column', () => {
    const pyramid = new Pyramid(noisy(72_000));
    for (const width of [320, 470, 1_180]) {
      const perColumn = 72_000 / width;
      const level = pyramid.levelFor(perColumn);
      expect(level).toBeDefined();
      expect(level!.min.length).toBeGreaterThanOrEqual(2 * width);
      expect(level!.min.length).toBeLessThan(2 * width * 4 + 8);
    }
    expect(pyramid.levelFor(2)).toBeUndefined();
  });

  it('prop: the order of least and greatest in a bucket is that of the samples', () => {
    const rising = new Pyramid(Float32Array.from({ length: 4_096 }, (_, i) => i));
    const falling = new Pyramid(Float32Array.from({ length: 4_096 }, (_, i) => -i));
    for (const level of rising.levels) expect([...level.minFirst].every((flag) => flag === 1)).toBe(true);
    for (const level of falling.levels) expect([...level.minFirst].every((flag) => flag === 0)).toBe(true);
  });
});
