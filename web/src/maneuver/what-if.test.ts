import { render } from 'svelte/server';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { maneuverOf } from '../flight/document.fixture';
import { ledgerOf, whatIfOf } from './height-ledger.fixture';
import { OneInFlight } from './one-in-flight';
import {
  apartBy,
  asFlown,
  changeOf,
  doneRight,
  flownWords,
  fromWords,
  limitsOf,
  plotOf,
  startWords,
  traceWords,
} from './what-if';
import WhatIf from './WhatIf.svelte';

const plain = (text: string): string => text.replaceAll('\u00a0', ' ');

describe('controls', () => {
  test('prop: as flown asks for nothing; what was moved is asked for, in the units of the answer', () => {
    const flown = asFlown(whatIfOf());
    expect(changeOf(flown, new Set())).toEqual({});
    expect(changeOf({ ...flown, unload_s: 1.5 }, new Set(['unload_s'] as const))).toEqual({ unload_s: 1.5 });
    expect(changeOf({ ...flown, full_power: true, flaps_in_steps: true }, new Set())).toEqual({
      full_power: true,
      flaps_in_steps: true,
    });
  });

  test('prop: sliders hold what was flown and what is right', () => {
    for (const whatIf of [
      whatIfOf(),
      whatIfOf({ flown_unload_s: 11.4, flown_power_s: null }),
      whatIfOf({ flown_unload_s: 0 }),
    ]) {
      const limits = limitsOf(whatIf);
      expect(limits.unload_s[1]).toBeLessThanOrEqual(
        Math.max(1, whatIf.flown_unload_s, whatIf.right_unload_s) + 0.05,
      );
      for (const controls of [asFlown(whatIf), doneRight(whatIf)]) {
        for (const control of ['unload_s', 'power_s', 'climb_kias'] as const) {
          expect(controls[control]).toBeGreaterThanOrEqual(limits[control][0]);
          expect(controls[control]).toBeLessThanOrEqual(limits[control][1]);
        }
      }
    }
    expect(doneRight(whatIfOf({ flaps_were_out: false })).flaps_in_steps).toBe(false);
  });
});

describe('words', () => {
  test('prop: lowest point and end, each with its σ', () => {
    const whatIf = whatIfOf();
    expect(plain(traceWords(whatIf.right, whatIf.step_s))).toBe('−160 ± 6 ft, then +64 ± 24 ft at 30 s');
    expect(plain(flownWords(whatIf))).toBe('−220 ft, then −40 ft at 30 s');
  });

  test('prop: the start is called what the ledger calls it', () => {
    expect(startWords(ledgerOf())).toBe('the full stall');
    expect(startWords(undefined)).toBe('the start');
    expect(fromWords('the full stall')).toBe('the full stall');
    expect(fromWords('it dropped')).toBe('where it dropped');
  });
});

describe('plot', () => {
  const box = { left: 36, right: 236, top: 20, bottom: 120 };

  test('val arithmetic: lines begin together, time and height are straight scales', () => {
    const whatIf = whatIfOf();
    const trace = { value: whatIf.right.height_ft, sigma: whatIf.right.height_sigma_ft };
    const plot = plotOf(whatIf.flown_height_ft, trace, 0.5, box, [0]);
    expect(plot.flown.split('L')[0]).toBe(plot.trace.split('L')[0]);
    // 30 s end at the right edge, so 10 s lie at a third.
    expect(plot.times.map(({ x }) => Math.round(x))).toEqual([36, 103, 169, 236]);
    expect(plot.ticks.some(({ zero }) => zero)).toBe(true);
    const [a, b, c] = plot.ticks;
    expect(a!.y - b!.y).toBeCloseTo(b!.y - c!.y, 6);
  });

  test('prop: the scale stands still while a slider moves, and nothing broken is drawn', () => {
    const whatIf = whatIfOf();
    const always = [0, ...whatIf.right.height_ft];
    const still = plotOf(whatIf.flown_height_ft, undefined, 0.5, box, always);
    const small = { value: whatIf.right.height_ft.map((v) => v * 0.9), sigma: [] };
    expect(plotOf(whatIf.flown_height_ft, small, 0.5, box, always).ticks).toEqual(still.ticks);
    const broken = { value: [0, NaN, -5], sigma: [0, 1, Infinity] };
    const plot = plotOf([0, -3, NaN], broken, 0.5, box, [0]);
    expect(plot.flown + plot.trace + plot.band).not.toMatch(/NaN|Infinity/);
  });

  test('prop: labels keep apart in their order', () => {
    expect(apartBy(10, 20, 30)).toEqual([0, 30]);
    expect(apartBy(20, 10, 30)).toEqual([30, 0]);
    expect(apartBy(10, 90, 30)).toEqual([10, 90]);
    expect(apartBy(10, undefined, 30)).toEqual([10, undefined]);
  });
});

describe('one in flight', () => {
  beforeEach(() => {
    vi.useFakeTimers();
  });
  afterEach(() => {
    vi.useRealTimers();
  });

  function server() {
    const asked: number[] = [];
    const got: number[] = [];
    const wrong: unknown[] = [];
    const waiting: { resolve: (n: number) => void; reject: (e: unknown) => void }[] = [];
    const one = new OneInFlight<number, number>(
      (question) => {
        asked.push(question);
        return new Promise((resolve, reject) => waiting.push({ resolve, reject }));
      },
      (answer) => got.push(answer),
      (error) => wrong.push(error),
    );
    const settle = async (act: () => void): Promise<void> => {
      act();
      await vi.advanceTimersByTimeAsync(1);
    };
    return { asked, got, wrong, waiting, one, settle };
  }

  test('prop: a moving hand asks once, and while an answer is awaited only the newest waits', async () => {
    const { asked, got, waiting, one, settle } = server();
    for (const question of [1, 2, 3]) one.ask(question);
    await vi.advanceTimersByTimeAsync(50);
    expect(asked).toEqual([3]);
    for (const question of [4, 5, 6]) one.ask(question);
    await vi.advanceTimersByTimeAsync(500);
    expect(asked).toEqual([3]);
    await settle(() => waiting[0]!.resolve(30));
    expect(got).toEqual([30]);
    expect(asked).toEqual([3, 6]);
    await settle(() => waiting[1]!.resolve(60));
    expect(got).toEqual([30, 60]);
  });

  test('prop: an error is told, and the next question is asked all the same', async () => {
    const { asked, wrong, waiting, one, settle } = server();
    one.ask(1);
    await vi.advanceTimersByTimeAsync(50);
    one.ask(2);
    await settle(() => waiting[0]!.reject(new Error('no')));
    expect(wrong).toHaveLength(1);
    expect(asked).toEqual([1, 2]);
  });

  test('prop: what was dropped never answers, and asking goes on', async () => {
    const { asked, got, waiting, one, settle } = server();
    one.ask(1);
    await vi.advanceTimersByTimeAsync(50);
    one.drop();
    await settle(() => waiting[0]!.resolve(10));
    expect(got).toEqual([]);
    one.ask(2);
    await vi.advanceTimersByTimeAsync(50);
    await settle(() => waiting[1]!.resolve(20));
    expect([asked, got]).toEqual([[1, 2], [20]]);
  });
});

describe('on the page', () => {
  test('prop: begins as flown, every control has a name, the caution stands beside', () => {
    const whatIf = whatIfOf();
    const maneuver = maneuverOf({ height_ledger: ledgerOf(), what_if: whatIf });
    const { body } = render(WhatIf, { props: { lesson: 'l', maneuver, whatIf } });
    expect(body.match(/type="range"/g)).toHaveLength(3);
    expect(body.match(/<label/g)).toHaveLength(5);
    expect(plain(body)).toContain('As flown: −220 ft');
    expect(body).not.toContain('done right:');
    expect(body).toContain(whatIf.caution);
    const noFlaps = whatIfOf({ flaps_were_out: false });
    expect(render(WhatIf, { props: { lesson: 'l', maneuver, whatIf: noFlaps } }).body).not.toContain(
      'flaps up',
    );
  });
});
