import { describe, expect, it } from 'vitest';
import { markOf, maneuverOf } from '../flight/document.fixture';
import { isBelow, limits, markLine, tally, worst } from './words';

const spaces = (text: string | undefined): string => (text ?? '').replaceAll('\u00a0', ' ');

describe('a mark in words', () => {
  // The printed sheets' examples (docs/looks.md and crates/press/src/words.rs).
  it('prop: limits', () => {
    expect(spaces(limits(markOf()))).toBe('062° ± 10°');
    expect(
      spaces(limits(markOf({ unit: 'g', target: null, low: null, high: 0.05, limit_origin: 'assumed' }))),
    ).toBe('up to 0.05 g, assumed');
    expect(spaces(limits(markOf({ unit: 'ft', target: null, low: 1500, high: null })))).toBe(
      'at least 1,500 ft',
    );
    expect(spaces(limits(markOf({ unit: 's', target: null, low: null, high: 3 })))).toBe('within 3 s');
    expect(
      spaces(
        limits(
          markOf({
            criterion: 'airspeed',
            unit: 'kt',
            target: 75,
            low: 70,
            high: 85,
            limit_origin: 'briefed',
          }),
        ),
      ),
    ).toBe('75 kt, +10 kt / −5, briefed');
    // A left turn's bank is asked for in degrees of bank.
    expect(spaces(limits(markOf({ criterion: 'bank', target: -45, low: -50, high: -40 })))).toBe('45° ± 5°');
    expect(limits(markOf({ target: null, low: null, high: null }))).toBe('');
  });

  it('prop: the worst says to which side, across north too', () => {
    expect(spaces(worst(markOf(), false))).toBe('23.3° ± 1.5° right');
    expect(spaces(worst(markOf({ target: 355, worst: 12, sigma: 2 }), false))).toBe('17° ± 2° right');
    expect(
      spaces(worst(markOf({ criterion: 'airspeed', unit: 'kt', target: 91, worst: 72, sigma: 2.4 }), false)),
    ).toBe('19 ± 2 kt slow');
    expect(
      spaces(worst(markOf({ criterion: 'rollout_heading', target: 10, worst: 350, sigma: 2 }), true)),
    ).toBe('20° ± 2° past');
    expect(worst(markOf({ worst: null }), false)).toBeUndefined();
  });

  it('prop: the pin goes through the side that was broken', () => {
    expect(isBelow(markOf())).toBe(false);
    expect(isBelow(markOf({ worst: 40 }))).toBe(true);
    expect(isBelow(markOf({ target: null, low: 5, high: null, worst: 3 }))).toBe(true);
  });

  it('prop: the list names what was not met or too close and counts the rest', () => {
    const marks = [
      { mark: markOf(), verdict: 'not_met' as const },
      { mark: markOf({ criterion: 'coordination' }), verdict: 'too_close' as const },
      { mark: markOf({ criterion: 'flap_extension_speed' }), verdict: 'too_close' as const },
      { mark: markOf(), verdict: 'met' as const },
      { mark: markOf(), verdict: 'met' as const },
    ];
    expect(tally(marks).map(({ verdict, words }) => `${verdict}: ${words}`)).toEqual([
      'not_met: heading',
      'too_close: ball, flap speed',
      'met: 2',
    ]);
  });

  it('prop: one line of a mark without a row', () => {
    const mark = markOf({ quantity: 'lowest height above ground', criterion: 'min_altitude_agl', unit: 'ft', target: null, low: 1500, high: null, worst: 3070, sigma: 60, mark: 'met', element: 'PA.VII.B.S2' }); // prettier-ignore
    expect(spaces(markLine(maneuverOf(), mark))).toBe(
      'Lowest height above ground: 3,070 ± 60 ft; at least 1,500 ft (S2)',
    );
  });
});
