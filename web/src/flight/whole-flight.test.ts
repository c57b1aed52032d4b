import { describe, expect, it } from 'vitest';
import { minutes, pieceWords, reasons } from './whole-flight';

describe('the whole flight in words', () => {
  it('tells what shares a reason together', () => {
    const why = 'no bank was recorded';
    const all = [
      { id: 'a', headline: 'Bank beyond 60°', why },
      { id: 'b', headline: 'Faster than VNE', why: 'no airspeed is known' },
      { id: 'c', headline: 'The start of a spin', why },
    ];
    expect(reasons(all)).toEqual([
      { why, what: 'Bank beyond 60°; The start of a spin' },
      { why: 'no airspeed is known', what: 'Faster than VNE' },
    ]);
    expect(reasons([])).toEqual([]);
  });

  it('gives minutes and seconds', () => {
    expect(minutes(245.4)).toBe('4:05');
    expect(minutes(59.6)).toBe('1:00');
    expect(minutes(-1)).toBe('0:00');
  });

  it('names a piece with its side and length', () => {
    const turn = { start_s: 10, end_s: 30, group: 'turns', name: 'turn', direction: 'left', maneuver: null };
    expect(pieceWords(turn)).toBe('turn left, 0:20');
    expect(pieceWords({ ...turn, name: 'Steep turn to the left', maneuver: 3 })).toBe(
      '3 Steep turn to the left, 0:20',
    );
  });
});
