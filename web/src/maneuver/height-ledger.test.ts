import { render } from 'svelte/server';
import { describe, expect, test } from 'vitest';
import { maneuverOf } from '../flight/document.fixture';
import { ledgerOf, readingOf, whatIfOf } from './height-ledger.fixture';
import { ledgerTitle, orderlessWords, readingTitle, scalesOf, stepsOf, wholeFeet } from './height-ledger';
import HeightLedger from './HeightLedger.svelte';

describe('shares', () => {
  test('val arithmetic: whole feet add up to the loss, and none is a whole foot off', () => {
    let seed = 7;
    const random = (): number => (seed = (seed * 48271) % 2147483647) / 2147483647 - 0.4;
    for (let round = 0; round < 400; round += 1) {
      const shares = Array.from({ length: round % 8 }, () => ['a cause', 300 * random(), 5] as const);
      const reading = readingOf(500 * random(), shares);
      const whole = wholeFeet(reading);
      expect(whole?.lost).toBe((whole?.any ?? NaN) + (whole?.lines ?? []).reduce((a, b) => a + b, 0));
      for (const [i, [, share]] of shares.entries()) {
        expect(Math.abs((whole?.lines[i] ?? NaN) - share)).toBeLessThan(1 + 1e-9);
      }
    }
  });

  test('prop: what is no number is not rounded, and not drawn', () => {
    const broken = readingOf(NaN, [['kept stalled', 3, 1]]);
    expect(wholeFeet(broken)).toBeUndefined();
    expect(stepsOf(broken)).toEqual([]);
  });

  test('prop: each step begins where the one before ended, the total at zero', () => {
    const steps = stepsOf(ledgerOf().readings[0]!);
    for (const [i, step] of steps.slice(1, -1).entries()) expect(step.from).toBeCloseTo(steps[i]!.to, 9);
    expect(steps.at(-1)).toMatchObject({ kind: 'total', from: 0, feet: '206' });
    expect(steps.at(-2)!.to).toBeCloseTo(steps.at(-1)!.to, 9);
  });

  test('val: helped only where 95 in 100 say so (1.96 σ), else perhaps; a gain is called one', () => {
    const [low, later] = ledgerOf().readings.map(stepsOf);
    expect(low!.map(({ word }) => word)).toEqual(['', '', '', 'helped', 'perhaps helped', '']);
    expect(later![0]!.word).toBe('gained');
    expect(low!.map(({ feet }) => feet)).toContain('−12');
  });

  test('prop: both readings have the same feet per px, and everything lies inside', () => {
    const steps = ledgerOf().readings.map(stepsOf);
    const scales = scalesOf(steps);
    const perFoot = scales.map(({ at }) => at(100) - at(0));
    expect(perFoot[0]).toBeCloseTo(perFoot[1]!, 9);
    for (const [i, reading] of steps.entries()) {
      for (const { from, to, whisker } of reading) {
        for (const feet of [from, to, ...whisker]) {
          expect(scales[i]!.at(feet)).toBeGreaterThanOrEqual(0);
          expect(scales[i]!.at(feet)).toBeLessThanOrEqual(100);
        }
      }
    }
  });

  test('prop: titles name the loss and the seconds once', () => {
    const ledger = ledgerOf();
    expect(ledgerTitle(ledger)).toBe('Where the 206\u00a0ft went');
    expect(ledger.readings.map(readingTitle)).toEqual([
      'From the full stall to the lowest point, 7.9\u00a0s, ft',
      '30 s after the full stall, ft',
    ]);
    expect(orderlessWords(ledger.readings[1]!)).toBe('kept stalled\u00a047, power late\u00a039');
  });
});

describe('on the page', () => {
  test('prop: a table with a header for each share, the sentence and the caution', () => {
    const maneuver = maneuverOf({ height_ledger: ledgerOf(), what_if: whatIfOf() });
    const { body } = render(HeightLedger, { props: { maneuver } });
    expect(body.match(/<th scope="row"/g)).toHaveLength(6 + 4);
    expect(body).toContain('perhaps helped');
    expect(body).toContain('A clean recovery today: −160');
    expect(body).toContain(ledgerOf().caution);
    expect(body).not.toMatch(/NaN|undefined/);
  });

  test('prop: where it cannot be told one quiet line says why', () => {
    const missing = ledgerOf({ why_not: 'no airspeed was recorded', readings: [] });
    const { body } = render(HeightLedger, { props: { maneuver: maneuverOf({ height_ledger: missing }) } });
    expect(body).toContain('is not told: no airspeed was recorded.');
    expect(body).not.toContain('<table');
    expect(render(HeightLedger, { props: { maneuver: maneuverOf() } }).body).not.toContain('<p');
  });
});
