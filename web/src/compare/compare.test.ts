import { describe, expect, it } from 'vitest';
import type { Maneuver } from '../flight/document';
import { readSeries } from '../flight/series';
import { seriesBytes } from '../flight/series.fixture';
import type { ManeuverBrief } from '../shared/api/types';
import { defining, sharedMoments, telling, timing, whole } from './align';
import { groups, readWith } from './choices';
import { acrossAt, lowest, pairPanels, type Flown } from './panels';

function maneuver(
  kind: string,
  direction: string,
  start_s: number,
  end_s: number,
  events: [string, number][],
): Maneuver {
  return {
    kind,
    direction,
    start_s,
    end_s,
    events: events.map(([name, at_s]) => ({ name, at_s, sigma_s: 0.3, probability: 1, origin: 'derived' })),
  } as unknown as Maneuver;
}

const a = maneuver('power_off_stall', 'straight', 100, 190, [
  ['flap_down', 108],
  ['flap_down', 112],
  ['pitch_up', 158],
  ['full_stall', 168],
  ['recovery_start', 169.3],
  ['positive_climb', 175],
]);
const b = maneuver('power_off_stall', 'straight', 400, 480, [
  ['flap_down', 407],
  ['pitch_up', 450],
  ['full_stall', 461],
  ['recovery_start', 463],
  ['positive_climb', 470],
]);

describe('alignment', () => {
  it('prop: only moments that both have, in order; the full stall defines a stall', () => {
    const shared = sharedMoments(a, b);
    expect(shared.map(({ id }) => id)).toEqual([
      'start',
      'flap_down',
      'pitch_up',
      'full_stall',
      'recovery_start',
      'positive_climb',
      'end',
    ]);
    expect(defining(shared).id).toBe('full_stall');
    expect(defining(sharedMoments(a, maneuver('power_off_stall', 'left', 0, 9, []))).id).toBe('start');
  });

  it('prop: a difference of times is what a clock would say, σ by squares', () => {
    const shared = sharedMoments(a, b);
    const by = defining(shared);
    const recovery = timing(
      shared.find(({ id }) => id === 'recovery_start')!,
      by,
    );
    expect(recovery.a.at_s).toBeCloseTo(1.3, 9);
    expect(recovery.b.at_s).toBeCloseTo(2, 9);
    expect(recovery.difference.at_s).toBeCloseTo(-0.7, 9);
    expect(recovery.difference.sigma_s).toBeCloseTo(0.6, 9);
    expect(timing(by, by).difference).toEqual({ at_s: 0, sigma_s: 0 });
  });

  it('prop: the pull and the recovery of both are seen, and never more than there is', () => {
    const by = defining(sharedMoments(a, b));
    const all = whole(a, b, by);
    expect(all).toEqual({ from_s: -68, to_s: 22 });
    const window = telling(a, b, by);
    expect(window.from_s).toBeLessThanOrEqual(-11);
    expect(window.to_s).toBeGreaterThanOrEqual(9);
    expect(window.from_s).toBeGreaterThanOrEqual(all.from_s);
    expect(window.to_s).toBeLessThanOrEqual(all.to_s);
  });
});

function flown(of: Maneuver, bank: number, zero_s: number): Flown {
  const len = 5001;
  const series = readSeries(
    seriesBytes(
      [
        {
          id: 'altitude_ft',
          values: Array.from(
            { length: len },
            (_, i) => 4000 - (i / 10 > zero_s ? 200 * Math.sin(Math.min((i / 10 - zero_s) / 6, Math.PI)) : 0),
          ),
        },
        { id: 'bank_deg', values: new Array<number>(len).fill(bank) },
        {
          id: 'heading_deg',
          values: Array.from({ length: len }, (_, i) => (Math.sign(bank) || 1) * i * 0.3),
        },
      ],
      0.1,
    ),
  );
  return { maneuver: of, series, zero_s };
}

describe('panels', () => {
  it('prop: both on one scale that holds both; height counts from the moment', () => {
    const panels = pairPanels(flown(a, 5, 168), flown(b, -20, 461), 'time', -10, 15);
    const height = panels.find(({ id }) => id === 'height')!;
    expect(height.scale[0]).toBeLessThanOrEqual(-200);
    expect(height.scale[1]).toBeGreaterThanOrEqual(0);
    expect(height.at(flown(a, 5, 168), 168)).toBe(0);
    const bank = panels.find(({ id }) => id === 'bank')!;
    expect(bank.scale[0]).toBeLessThanOrEqual(-20);
    expect(bank.scale[1]).toBeGreaterThanOrEqual(5);
    expect(panels.some(({ id }) => id === 'speed')).toBe(false);
    expect(lowest(flown(a, 5, 168))!.value).toBeLessThan(-150);
  });

  it('prop: a left turn and a right turn are laid against the angle turned and into the turn', () => {
    const left = flown(maneuver('steep_turn', 'left', 100, 140, [['roll_in', 100]]), -45, 100);
    const right = flown(maneuver('steep_turn', 'right', 200, 240, [['roll_in', 200]]), 45, 200);
    expect(acrossAt(left, 130, 'turn')).toBeCloseTo(90, 3);
    expect(acrossAt(right, 230, 'turn')).toBeCloseTo(90, 3);
    const bank = pairPanels(left, right, 'turn', 0, 120).find(({ id }) => id === 'bank')!;
    expect(bank.second).toContain('into the turn');
    expect(bank.at(left, 120)).toBe(45);
    expect(bank.at(right, 220)).toBe(45);
    expect(bank.a!.y.every((value) => value === 45)).toBe(true);
  });
});

describe('choices', () => {
  it('prop: an address is read back, and nonsense is none', () => {
    expect(readWith('0193-ab:7')).toEqual({ lesson: '0193-ab', number: 7 });
    for (const text of [null, '', '7', ':7', 'x:', 'x:0', 'x:1.5', 'x:-2'])
      expect(readWith(text)).toBeUndefined();
  });

  it('prop: every maneuver stands in one group, never the one itself', () => {
    const brief = (lesson_id: string, number: number, student: string, demonstration = false) =>
      ({
        lesson_id,
        number,
        start_utc: `2026-0${String(number)}-01T00:00:00Z`,
        student: { id: student },
        demonstration,
      }) as ManeuverBrief;
    const found = [
      brief('l1', 2, 's1'),
      brief('l1', 5, 's1'),
      brief('l2', 3, 's1'),
      brief('l3', 4, 's2'),
      brief('l4', 1, 's3', true),
      brief('l2', 3, 's1'),
    ];
    const all = groups(found, 'l1', 2, 's1');
    expect(all.map(({ name, all: some }) => [name, some.length])).toEqual([
      ['this lesson', 1],
      ['other lessons of the same student', 1],
      ['demonstrations', 1],
      ['others', 1],
    ]);
  });
});
