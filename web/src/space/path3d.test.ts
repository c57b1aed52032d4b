import { describe, expect, it } from 'vitest';
import { readSeries } from '../flight/series';
import { seriesBytes } from '../flight/series.fixture';
import { behind, beside, eye, fitting, turned, above } from './orbit';
import { BOUND_DEG, BOUND_FT, curtain, extent, path3d, poseAt, ribbon, rightWing, within } from './path3d';

/** Twenty minutes of turns, climbs and rolls at 10 Hz, with a hole. */
function flight() {
  const len = 12_000;
  const east = new Float32Array(len);
  const north = new Float32Array(len);
  const agl = new Float32Array(len);
  const bank = new Float32Array(len);
  let heading = 0;
  for (let i = 1; i < len; i += 1) {
    bank[i] = 45 * Math.sin(i / 400) ** 3;
    heading += 0.0018 * Math.tan(((bank[i] ?? 0) * Math.PI) / 180);
    east[i] = (east[i - 1] ?? 0) + 5 * Math.sin(heading);
    north[i] = (north[i - 1] ?? 0) + 5 * Math.cos(heading);
    agl[i] = 2500 + 400 * Math.sin(i / 700) + 3 * Math.sin(i / 9);
  }
  agl[0] = agl[1] ?? 0;
  east.fill(NaN, 6000, 6200);
  return readSeries(
    seriesBytes(
      [
        { id: 'east_m', values: east },
        { id: 'north_m', values: north },
        { id: 'agl_ft', values: agl },
        { id: 'bank_deg', values: bank },
      ],
      0.1,
    ),
  );
}

describe('path in space', () => {
  it('prop: far fewer points, never farther than the bound in place nor in bank', () => {
    const series = flight();
    const path = path3d(series)!;
    expect(path.samples).toBe(12_000);
    expect(path.t.length).toBeLessThan(2500);
    expect(path.runs).toHaveLength(2);
    let worst = 0;
    let tilt = 0;
    for (let i = 0; i < series.len; i += 1) {
      const t = series.time(i);
      const east = series.column('east_m')!.values[i]!;
      if (!Number.isFinite(east)) continue;
      const pose = poseAt(path, t);
      if (!pose) continue;
      const off = Math.hypot(
        pose.place[0] - east,
        pose.place[1] - series.column('agl_ft')!.values[i]! * 0.3048,
        pose.place[2] + series.column('north_m')!.values[i]!,
      );
      worst = Math.max(worst, off / 0.3048);
      tilt = Math.max(
        tilt,
        Math.abs((pose.bank_rad * 180) / Math.PI - series.column('bank_deg')!.values[i]!),
      );
    }
    expect(worst).toBeLessThanOrEqual(BOUND_FT + 0.01);
    expect(tilt).toBeLessThanOrEqual(BOUND_DEG + 0.01);
    // The bound is used: a line much nearer than asked for would have been drawn from too many points.
    expect(worst).toBeGreaterThan(BOUND_FT / 2);
  });

  it('prop: the right wing goes down in a bank to the right and is as long as asked for', () => {
    // Flying north (z goes down), the right wing points east.
    expect(rightWing(0, 0, 10).map((value) => Math.round(value * 1e9) / 1e9 + 0)).toEqual([10, 0, 0]);
    const banked = rightWing(0, Math.PI / 6, 10);
    expect(banked[1]).toBeCloseTo(-5, 9);
    expect(Math.hypot(...banked)).toBeCloseTo(10, 9);
    // Flying east it points south.
    expect(rightWing(Math.PI / 2, 0, 10)[2]).toBeCloseTo(10, 9);
  });

  it('prop: ribbon and curtain hang on the path, and the curtain ends on the ground', () => {
    const path = path3d(flight())!;
    const ranges = within(path, 100, 160);
    const sheet = curtain(path, ranges);
    for (let v = 0; v < sheet.vertices.length; v += 6) {
      expect(sheet.vertices[v + 1]).toBeGreaterThan(100);
      expect(sheet.vertices[v + 4]).toBe(0);
      expect(sheet.vertices[v]).toBe(sheet.vertices[v + 3]);
    }
    const band = ribbon(path, ranges, 20);
    expect(band.index.length % 6).toBe(0);
    expect(Math.max(...band.index)).toBe(band.vertices.length / 3 - 1);
    // Seen from above, its triangles go counter-clockwise: their normal points up.
    const at = (v: number): number[] => Array.from(band.vertices.subarray(3 * v, 3 * v + 3));
    const [a, b, c] = [at(band.index[0]!), at(band.index[1]!), at(band.index[2]!)] as [
      number[],
      number[],
      number[],
    ];
    const u = b.map((value, i) => value - a[i]!);
    const w = c.map((value, i) => value - a[i]!);
    expect(u[2]! * w[0]! - u[0]! * w[2]!).toBeGreaterThan(0);
    expect(within(path, 590, 630).length).toBe(2);
    expect(extent(path, ranges).radius).toBeLessThan(path.radius);
  });

  it('prop: in a hole there is no aircraft', () => {
    const path = path3d(flight())!;
    expect(poseAt(path, 610)).toBeUndefined();
    expect(poseAt(path, 100)).toBeDefined();
    expect(poseAt(path, -5)).toBeUndefined();
  });

  it('prop: without a position or a height there is no path', () => {
    const only = readSeries(seriesBytes([{ id: 'agl_ft', values: [1, 2, 3] }], 1));
    expect(path3d(only)).toBeUndefined();
  });
});

describe('the eye', () => {
  it('prop: from behind it looks along the course, from above straight down, from the side across', () => {
    const from = eye(behind([0, 100, 0], 0, 200));
    // Flying north (−z), behind is south (+z), and a little above.
    expect(from[2]).toBeGreaterThan(150);
    expect(from[0]).toBeCloseTo(0, 6);
    expect(from[1]).toBeGreaterThan(100);
    const top = eye(above([5, 0, 7], 100, 1.5));
    expect(Math.hypot(top[0] - 5, top[2] - 7)).toBeLessThan(1);
    const side = eye(beside([0, 0, 0], 100, 1.5, 0));
    // Course north: from the east or the west.
    expect(Math.abs(side[0])).toBeGreaterThan(5 * Math.abs(side[2]));
  });

  it('prop: never over the top nor under the ground; a ball fits whatever the shape of the picture', () => {
    const orbit = behind([0, 0, 0], 0, 100);
    expect(turned(orbit, 0, 10).above_rad).toBeLessThan(Math.PI / 2);
    expect(turned(orbit, 0, -10).above_rad).toBeGreaterThan(0);
    expect(fitting(100, 0.5)).toBeGreaterThan(fitting(100, 1));
    expect(fitting(100, 2)).toBeCloseTo(fitting(100, 1), 9);
  });
});
