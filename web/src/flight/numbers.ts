// Numbers of marks and sentences, beyond what every page needs (shared/format.ts).
// The printed sheets round by the same rules (docs/looks.md, "Numbers").

import { number, unitWord } from '../shared/format';

export { capital, decimals, number, unitWord, withSigma, withUnit } from '../shared/format';

const NBSP = '\u00a0';

/** A limit with as many decimals as it needs, at most three, without its unit. */
export function bare(value: number): string {
  const most = Math.abs(value) >= 100 ? 1 : 3;
  for (let places = 0; places < most; places += 1) {
    const scale = 10 ** places;
    if (Math.abs(Math.round(value * scale) / scale - value) < 1e-6) return number(value, places);
  }
  // Targets taken from the flight carry noise that nobody wants to read.
  return number(value, Math.abs(value) >= 10 ? 0 : 2);
}

/** {@link bare} with its unit. */
export function plain(value: number, unit: string): string {
  return `${bare(value)}${unitWord(unit)}`;
}

const HELD = /^(?:ft|kt|s|rpm|g|min|ft\/min)[,.;]?$/;

/** Sentences for setting: a number stays with its unit and its ±, on one line. */
export function tidy(text: string): string {
  const words = text.split(/\s+/).filter((word) => word !== '');
  return words.reduce((out, word, index) => {
    if (index === 0) return word;
    const before = words[index - 1] ?? '';
    const holds = word === '±' || before === '±' || (/\d$/.test(before) && HELD.test(word));
    return `${out}${holds ? NBSP : ' '}${word}`;
  }, '');
}

/** {@link tidy}, ending in a full stop unless it ends in another mark. */
export function sentence(text: string): string {
  const out = tidy(text);
  return out === '' || /[.?!:…]$/.test(out) ? out : `${out}.`;
}

/** First letter in lower case, unless the word is an abbreviation. */
export function decapital(text: string): string {
  return /^.[a-z ]/.test(text) ? text.charAt(0).toLowerCase() + text.slice(1) : text;
}
