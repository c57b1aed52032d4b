import { describe, expect, it } from 'vitest';
import { readSeries } from '../flight/series';
import { seriesBytes } from '../flight/series.fixture';
import type { Maneuver } from '../flight/document';
import { arc, attitudeAt, attitudeLines, pathAt, pitchRange, spokenAttitude, trail } from './attitude';
import { needsPlan } from './needs';
import { sided, windWords } from './words';

const n = 200;
const series = readSeries(
  seriesBytes(
    [
      { id: 'pitch_deg', values: Array.from({ length: n }, (_, i) => 10 - i * 0.2), sigma: 0.5 },
      { id: 'bank_deg', values: Array.from({ length: n }, (_, i) => (i < 100 ? 0 : 38)), sigma: 0.6 },
      { id: 'heading_deg', values: Array.from({ length: n }, (_, i) => 355 + i * 0.1) },
      { id: 'lateral_g', values: new Array<number>(n).fill(-0.055), sigma: 0.008 },
    ],
    0.1,
  ),
);

describe('attitude', () => {
  it('prop: what the recorder could not support is absent, and said so', () => {
    const now = attitudeAt(series, 15);
    expect(now.path).toBeUndefined();
    expect(now.bank?.value).toBe(38);
    const lines = attitudeLines(now, undefined);
    expect(lines.map((line) => line.id)).toEqual(['bank', 'pitch', 'ball']);
    expect(lines[0]?.words).toBe('38.0°\u00a0±\u00a00.6°\u00a0right');
    expect(lines[1]?.words).toBe('20.0°\u00a0±\u00a00.5°\u00a0down');
    expect(lines[2]?.words).toBe('0.055\u00a0±\u00a00.008\u00a0g left');
    expect(spokenAttitude(now)).toBe('bank 38°\u00a0right, nose 20°\u00a0down');
  });

  it("prop: the nose's track ends where the nose is, oldest first", () => {
    const track = trail(series, 12, 10);
    expect(track.at(-1)).toEqual({ right_deg: 0, up_deg: series.at('pitch_deg', 12) });
    // It swung right: earlier it pointed to the left of where it points now.
    expect(track[0]!.right_deg).toBeCloseTo(-10, 3);
    expect(track[0]!.up_deg).toBeGreaterThan(track.at(-1)!.up_deg);
    expect(trail(series, 2, 10).length).toBeLessThan(track.length);
    expect(pitchRange(series, 0, 20)).toBeGreaterThanOrEqual(30);
  });

  it('val: the path at an angle of attack', () => {
    // Wings level it is pitch minus angle of attack. B. Etkin, L. Reid, "Dynamics of Flight", 1996, ch. 4.
    expect(pathAt(12, 0, 16)).toBeCloseTo(-4, 9);
    expect(pathAt(-25, 0, 16)).toBeCloseTo(-41, 9);
    // On its side the wing lifts sideways: the angle of attack is no angle of climb.
    expect(pathAt(0, 90, 16)).toBeCloseTo(0, 9);
    // With the same angle of attack and pitch, a banked aircraft goes less far below its nose.
    expect(pathAt(5, 45, 10)).toBeGreaterThan(pathAt(5, 0, 10));
  });

  it('prop: an arc begins and ends where it should', () => {
    expect(arc(0, 0, 10, 0, 90)).toBe('M10.0 0.0A10 10 0 0 0 0.0 -10.0');
    expect(arc(0, 0, 10, 0, -90)).toBe('M10.0 0.0A10 10 0 0 1 0.0 10.0');
  });

  it('prop: words have sides, and the middle has none', () => {
    expect(sided(-12.2, 1, 'right', 'left', 'level')).toBe('12°\u00a0±\u00a01°\u00a0left');
    expect(sided(0.2, 1, 'right', 'left', 'level')).toBe('level');
    expect(sided(NaN, 1, 'right', 'left', 'level')).toBe('not known');
    expect(windWords({ from_deg: 0.2, kt: 25, sigma_kt: 3, east_kt: 0, north_kt: -25 })).toBe(
      'wind from 360° true, 25\u00a0±\u00a03\u00a0kt',
    );
    expect(windWords({ from_deg: 90, kt: 2, sigma_kt: 3, east_kt: -2, north_kt: 0 })).toContain('too light');
    expect(windWords(undefined)).toBe('wind not known');
  });

  it('prop: a straight stall needs no plan, a turn does, the whole flight does', () => {
    const stall = { kind: 'power_off_stall', direction: 'straight' } as Maneuver;
    expect(needsPlan(stall, 35)).toBe(false);
    expect(needsPlan({ ...stall, direction: 'left' }, 70)).toBe(true);
    expect(needsPlan({ kind: 'steep_turn', direction: 'left' } as Maneuver, 360)).toBe(true);
    expect(needsPlan(undefined, 5)).toBe(true);
    expect(needsPlan(stall, undefined)).toBe(false);
  });
});
