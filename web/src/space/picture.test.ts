import { describe, expect, it } from 'vitest';
import { coarser } from './picture';

describe('coarser while it turns', () => {
  it('prop: slow pictures get coarser down to a floor, quick ones sharper up to the full', () => {
    let ratio = 1;
    for (let i = 0; i < 20; i += 1) ratio = coarser(ratio, 1, 250);
    expect(ratio).toBe(0.35);
    for (let i = 0; i < 40; i += 1) ratio = coarser(ratio, 1, 8);
    expect(ratio).toBe(1);
    expect(coarser(0.7, 1, 25)).toBe(0.7);
    // A pause says nothing about speed.
    expect(coarser(1, 1, 5000)).toBe(1);
  });
});
