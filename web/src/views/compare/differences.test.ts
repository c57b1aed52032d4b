import { describe, expect, it } from 'vitest';
import type { Maneuver, Mark } from '../../flight/document';
import { differenceWords, factName, factRows, markRows, valueOf } from './differences';

function mark(criterion: string, worst: number, more: Partial<Mark> = {}): Mark {
  return {
    criterion,
    quantity: criterion,
    element: 'X',
    unit: 'deg',
    worst,
    sigma: 3,
    mark: 'met',
    limit_origin: 'published',
    origin: 'measured',
    ...more,
  } as Mark;
}

describe('differences', () => {
  it('prop: independent σ add by squares, and the sign is the first minus the second', () => {
    expect(differenceWords({ value: 26, sigma: 3, unit: 'deg' }, { value: 8, sigma: 4, unit: 'deg' })).toBe(
      '+18°\u00a0±\u00a05°',
    );
    expect(
      differenceWords({ value: 0.4, sigma: null, unit: 's' }, { value: 1, sigma: null, unit: 's' }),
    ).toBe('−0.6\u00a0s');
    expect(
      differenceWords({ value: 0.057, sigma: 0.006, unit: 'g' }, { value: 0.005, sigma: 0.006, unit: 'g' }),
    ).toMatch(/^\+0\.052/);
    expect(
      differenceWords({ value: 3, sigma: null, unit: 'steps' }, { value: 3, sigma: null, unit: 'steps' }),
    ).toBe('none');
    expect(differenceWords({ value: 3, sigma: 1, unit: 'ft' }, { value: 3, sigma: 1, unit: 'kt' })).toBe('');
    expect(differenceWords(undefined, { value: 3, sigma: 1, unit: 'kt' })).toBe('');
  });

  it('prop: headings count from what was asked for, across north; bank whichever way', () => {
    const off = (worst: number, target: number) =>
      valueOf(mark('heading', worst, { target, low: target - 10, high: target + 10 }), false)?.value;
    expect(off(4, 355)).toBeCloseTo(9, 9);
    expect(off(350, 3)).toBeCloseTo(-13, 9);
    expect(valueOf(mark('bank', -47), true)?.value).toBe(47);
    const late = { target: 90, low: 80, high: 100 };
    // Past the heading is past it in either turn.
    expect(valueOf(mark('rollout_heading', 100, late), false)?.value).toBe(10);
    expect(valueOf(mark('rollout_heading', 80, late), true)?.value).toBe(10);
  });

  it('prop: a mark that one lacks stays with the other, and what has a number comes first', () => {
    const a = {
      direction: 'straight',
      marks: [
        mark('area_cleared', NaN, { worst: null, mark: 'for_instructor' }),
        mark('heading', 70, { target: 60 }),
      ],
    } as unknown as Maneuver;
    const b = { direction: 'straight', marks: [mark('bank', 5)] } as unknown as Maneuver;
    const rows = markRows(a, b);
    expect(rows).toHaveLength(3);
    expect(rows.at(-1)?.key).toContain('area_cleared');
    expect(rows.find(({ key }) => key.startsWith('bank'))?.a).toBeUndefined();
  });

  it('prop: only figures that both have, without their unit in the name', () => {
    const fact = (value: number, unit: string) => ({ value, unit, sigma: 8, origin: 'derived' });
    const rows = factRows(
      {
        facts: {
          altitude_lost_ft: fact(220, 'ft'),
          pitch_max_deg: fact(12, 'deg'),
          entry_heading_deg: fact(359, 'deg'),
        },
      } as unknown as Maneuver,
      {
        facts: { altitude_lost_ft: fact(167, 'ft'), entry_heading_deg: fact(2, 'deg') },
      } as unknown as Maneuver,
    );
    expect(rows.map(({ name }) => name)).toEqual(['Altitude lost', 'Entry heading']);
    expect(rows[0]?.difference).toBe('+53\u00a0±\u00a011\u00a0ft');
    // A heading minus a heading across north would be a nonsense of 357°.
    expect(rows[1]?.difference).toBe('');
    expect(factName('ias_at_stall_kt')).toBe('Airspeed at stall');
  });
});
