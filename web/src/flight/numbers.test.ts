import { describe, expect, it } from 'vitest';
import { bare, number, plain, sentence, tidy, withSigma, withUnit } from './numbers';

const spaces = (text: string): string => text.replaceAll('\u00a0', ' ');

describe('numbers', () => {
  // The printed sheets hold themselves to the same examples (crates/press/src/words.rs).
  it('prop: rounding follows σ', () => {
    expect(spaces(withSigma(26.4, 2.1, 'deg'))).toBe('26° ± 2°');
    expect(spaces(withSigma(0.0553, 0.0078, 'g'))).toBe('0.055 ± 0.008 g');
    expect(spaces(withSigma(2.34, 0.42, 'deg/s'))).toBe('2.3 ± 0.4°/s');
    expect(spaces(withSigma(3812.4, 8, 'ft'))).toBe('3,812 ± 8 ft');
    expect(spaces(withSigma(-0.2, 12, 'ft'))).toBe('0 ± 12 ft');
    expect(spaces(withSigma(NaN, undefined, 'ft'))).toBe('unknown ft');
    expect(spaces(withSigma(44.2, 0.004, 'kt'))).toBe('44.2 kt');
  });

  it('prop: a minus is a minus, thousands are grouped, zero has no sign', () => {
    expect(number(-1234567.4, 0)).toBe('−1,234,567');
    expect(number(-0.04, 1)).toBe('0.0');
    expect(withUnit(3815.2, 0, 'ft')).toBe('3,815\u00a0ft');
    expect(plain(0.05, 'g')).toBe('0.05\u00a0g');
    expect(bare(62.2649)).toBe('62');
    expect(bare(10)).toBe('10');
  });

  it('prop: a number stays with its unit', () => {
    expect(tidy('down 30 ± 1° for 6 s, 220 ft lower')).toBe(
      'down 30\u00a0±\u00a01° for 6\u00a0s, 220\u00a0ft lower',
    );
    expect(sentence('until the wing flies')).toBe('until the wing flies.');
    expect(sentence('What did you read?')).toBe('What did you read?');
  });
});
