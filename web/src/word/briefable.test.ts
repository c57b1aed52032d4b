import { describe, expect, test } from 'vitest';
import type { HeightLedger, Maneuver, WhatIf } from '../flight/document';
import { maneuverOf } from '../flight/document.fixture';
import { briefable } from './briefable';

describe('the brief card', () => {
  // That they are there is all that is asked.
  const whole: Partial<Maneuver> = { height_ledger: {} as HeightLedger, what_if: {} as WhatIf };
  test('prop: is offered for a stall with a clean recovery, and for nothing else', () => {
    const of = (...maneuvers: ReturnType<typeof maneuverOf>[]) => briefable({ maneuvers });
    expect(of()).toBe(false);
    expect(of(maneuverOf({ kind: 'power_off_stall' }))).toBe(false);
    expect(of(maneuverOf({ kind: 'power_off_stall', ...whole }))).toBe(true);
    expect(of(maneuverOf({ kind: 'go_around', ...whole }))).toBe(false);
  });
});
