import { describe, expect, it } from 'vitest';
import { readSeries } from '../flight/series';
import { seriesBytes } from '../flight/series.fixture';
import { airPath, MPS_PER_KT, pathsOf, spotAt, turned_deg, windOf } from './path';

/** A circle of 300 m radius flown in 60 s through air that moves, a sample every half second. */
function circling(windEast_kt: number, windNorth_kt: number, hole?: [number, number]) {
  const step_s = 0.5;
  const n = 121;
  const at = (i: number) => (2 * Math.PI * i * step_s) / 60;
  const east = Array.from(
    { length: n },
    (_, i) => 300 * Math.sin(at(i)) + windEast_kt * MPS_PER_KT * i * step_s,
  );
  const north = Array.from(
    { length: n },
    (_, i) => 300 * Math.cos(at(i)) + windNorth_kt * MPS_PER_KT * i * step_s,
  );
  if (hole) for (let i = hole[0]; i <= hole[1]; i += 1) east[i] = NaN;
  return readSeries(
    seriesBytes(
      [
        { id: 'east_m', values: east },
        { id: 'north_m', values: north },
        { id: 'wind_east_kt', values: new Array<number>(n).fill(windEast_kt), sigma: 2 },
        { id: 'wind_north_kt', values: new Array<number>(n).fill(windNorth_kt), sigma: 3 },
        { id: 'air_track_deg', values: Array.from({ length: n }, (_, i) => 90 + (i * 360) / (n - 1)) },
      ],
      step_s,
    ),
  );
}

describe('paths', () => {
  // A constant-bank turn is a circle in the air whatever the wind: FAA-H-8083-3C, ch. 7, "Ground Reference Maneuvers".
  it('val: a circle in moving air closes in the air and not over the ground', () => {
    const paths = pathsOf(circling(14, -9), 0, 60)!;
    const air = paths.air!;
    const last = paths.length - 1;
    expect(Math.hypot(air.east[last]! - air.east[0]!, air.north[last]! - air.north[0]!)).toBeLessThan(0.05);
    const open = Math.hypot(paths.east[last]! - paths.east[0]!, paths.north[last]! - paths.north[0]!);
    // Over the ground it ends where the wind carried it: speed times time.
    expect(open).toBeCloseTo(Math.hypot(14, 9) * (1852 / 3600) * 60, 1);
    for (let i = 0; i <= last; i += 1) expect(Math.hypot(air.east[i]!, air.north[i]!)).toBeCloseTo(300, 1);
  });

  it('prop: without wind both paths are one; they always begin at the same place', () => {
    const calm = pathsOf(circling(0, 0), 0, 60)!;
    expect(calm.air!.east).toEqual(calm.east);
    const windy = pathsOf(circling(30, 5), 20, 60)!;
    expect(windy.air!.east[0]).toBe(windy.east[0]);
    expect(windy.air!.north[0]).toBe(windy.north[0]);
  });

  it('prop: what the wind carried is its integral, varying wind too', () => {
    // A wind that grows evenly from 0 to 20 kt over 100 s carries 10 kt × 100 s.
    const ground = { east: new Float64Array(101), north: new Float64Array(101) };
    const growing = Array.from({ length: 101 }, (_, i) => i * 0.2);
    const air = airPath(ground, growing, new Array<number>(101).fill(0), 1)!;
    expect(air.east[100]).toBeCloseTo(-10 * (1852 / 3600) * 100, 9);
    expect(air.north[100]).toBeCloseTo(0, 12);
  });

  it('prop: a sample without wind takes the mean; without any wind there is no path through the air', () => {
    const ground = { east: new Float64Array(11), north: new Float64Array(11) };
    const holed = [10, NaN, 10, NaN, NaN, 10, 10, 10, 10, 10, 10];
    const air = airPath(ground, holed, new Array<number>(11).fill(0), 1)!;
    expect(air.east[10]).toBeCloseTo(-10 * 10 * MPS_PER_KT, 9);
    expect(airPath(ground, new Array<number>(11).fill(NaN), holed, 1)).toBeUndefined();
    expect(airPath(ground, undefined, holed, 1)).toBeUndefined();
  });

  it('prop: a place between samples lies between them; none in a hole and none outside', () => {
    const paths = pathsOf(circling(0, 0, [40, 50]), 0, 60)!;
    const a = spotAt(paths, 3, 'ground')!;
    const b = spotAt(paths, 3.5, 'ground')!;
    const mid = spotAt(paths, 3.25, 'ground')!;
    expect(mid.east).toBeCloseTo((a.east + b.east) / 2, 4);
    expect(spotAt(paths, 22, 'ground')).toBeUndefined();
    expect(spotAt(paths, 61, 'ground')).toBeUndefined();
    expect(spotAt(paths, NaN, 'ground')).toBeUndefined();
  });

  it('val: wind is named by where it comes from', () => {
    // Air that moves toward the south-east comes from the north-west. Convention: WMO-No. 306, FM 15 (METAR), group dddff.
    const wind = windOf(circling(10, -10), 0, 60)!;
    expect(wind.from_deg).toBeCloseTo(315, 6);
    expect(wind.kt).toBeCloseTo(Math.SQRT2 * 10, 6);
    expect(wind.sigma_kt).toBe(3);
    expect(windOf(circling(0.2, 0.2), 0, 60)!.from_deg).toBeUndefined();
  });

  it('prop: how far it turned', () => {
    expect(turned_deg(circling(5, 5), 0, 60)).toBeCloseTo(360, 3);
    expect(turned_deg(circling(5, 5), 0, 15)).toBeCloseTo(90, 3);
  });
});
