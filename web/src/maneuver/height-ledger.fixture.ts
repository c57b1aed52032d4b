// A height ledger and a what-if with invented numbers, for tests.

import type { Fact, HeightLedger, LedgerReading, WhatIf } from '../flight/document';

const feet = (value: number, sigma: number): Fact => ({ value, unit: 'ft', sigma, origin: 'derived' });

/** A reading from what any recovery costs and named shares `[title, ft, σ]`. */
export function readingOf(
  any: number,
  shares: readonly (readonly [string, number, number])[],
  more: Partial<LedgerReading> = {},
): LedgerReading {
  return {
    name: 'lowest_point',
    title: 'from the full stall to the lowest point',
    seconds: 7.9,
    lost: feet(any + shares.reduce((sum, [, share]) => sum + share, 0), 3),
    any_recovery: feet(any, 12),
    any_title: 'any recovery',
    lines: shares.map(([title, share, sigma]) => ({
      cause: title.replaceAll(' ', '_'),
      title,
      cost: feet(share, sigma),
      interval_ft: [share - 1.96 * sigma, share + 1.96 * sigma],
      orderless_ft: share * 0.9,
    })),
    ...more,
  };
}

export function ledgerOf(more: Partial<HeightLedger> = {}): HeightLedger {
  return {
    caution: 'A computed answer from this recording, to learn from on the ground.',
    reference: 'Held against what is usual (assumed).',
    readings: [
      readingOf(160.4, [
        ['kept stalled', 36.4, 10],
        ['power late', 27.4, 6],
        ['flaps left down', -12.4, 4],
        ['accelerated past the climb speed', -5.5, 26],
      ]),
      readingOf(
        -64.5,
        [
          ['kept stalled', 52.5, 20],
          ['power late', 42.9, 31],
        ],
        {
          name: 'after_30_s',
          title: '30 s after the full stall',
          seconds: 30,
        },
      ),
    ],
    words: [],
    ...more,
  };
}

/** Sixty-one half seconds: down in a straight line to 8 s, then up. */
export function whatIfOf(more: Partial<WhatIf> = {}): WhatIf {
  const depth = (deep: number, end: number): number[] =>
    Array.from({ length: 61 }, (_, i) => {
      const t = i * 0.5;
      return t < 8 ? (-deep * t) / 8 : -deep + ((deep + end) * (t - 8)) / 22;
    });
  const speed = Array.from({ length: 61 }, (_, i) => 44 + Math.min(i, 30));
  return {
    caution: 'A computed answer from this recording, to learn from on the ground.',
    start_s: 167.6,
    step_s: 0.5,
    flown_height_ft: depth(220, -40),
    flown_ias_kt: speed,
    flown_unload_s: 5.97,
    flown_power_s: 3.33,
    flown_power_share: 0.98,
    right_unload_s: 1.03,
    right_power_s: 1.3,
    climb_kias: 74,
    flaps_were_out: true,
    right: {
      height_ft: depth(160, 64),
      height_sigma_ft: Array.from({ length: 61 }, (_, i) => i * 0.4),
      ias_kt: speed,
      ias_sigma_kt: speed.map(() => 2),
      lost_ft: 160,
      at_end_ft: 64,
    },
    ...more,
  };
}
