// Numbers as a pilot reads them: a true minus, thousands commas, the unit, and no more decimals than σ deserves.
// The printed sheets round by the same rules (docs/looks.md, "Numbers").

const NBSP = '\u00a0';

type Maybe = number | null | undefined;

/** Whether a written number has any figure but zero. */
function saysSomething(text: string): boolean {
  return /[1-9]/.test(text);
}

/** A number with thousands commas and a true minus; never "−0". */
export function number(value: number, decimals: number): string {
  if (!Number.isFinite(value)) return 'unknown';
  const text = Math.abs(value).toFixed(decimals);
  const [whole = '0', fraction] = text.split('.');
  const grouped = whole.replace(/\B(?=(\d{3})+$)/g, ',');
  const sign = value < 0 && saysSomething(text) ? '−' : '';
  return fraction === undefined ? `${sign}${grouped}` : `${sign}${grouped}.${fraction}`;
}

/** The unit as it stands after a number, with the space it needs. */
export function unitWord(unit: string): string {
  switch (unit) {
    case '':
    case '1':
      return '';
    case 'deg':
      return '°';
    case 'deg/s':
      return '°/s';
    case 'percent':
      return `${NBSP}%`;
    case 'degC':
      return `${NBSP}°C`;
    default:
      return `${NBSP}${unit}`;
  }
}

/** `3,815 ft`, `26°`. */
export function withUnit(value: number, decimals: number, unit: string): string {
  return `${number(value, decimals)}${unitWord(unit)}`;
}

/**
 * Decimals that a number deserves: down to the first figure of its σ (the second where the first is a 1), so that
 * 26.4° ± 2.1° reads 26° ± 2°. Without a σ the unit decides.
 */
export function decimals(sigma: Maybe, unit: string): number {
  if (sigma === null || sigma === undefined || !Number.isFinite(sigma) || sigma <= 0) {
    if (unit === 'g') return 2;
    return unit === 's' || unit === 'deg/s' ? 1 : 0;
  }
  const power = Math.floor(Math.log10(sigma));
  const first = sigma / 10 ** power;
  // 1.04 would read 1.0: the second figure says nothing then.
  const wanted = -power + (first >= 1.05 && first < 1.95 ? 1 : 0);
  const most =
    unit === 'g' ? 3 : unit === 's' || unit === 'deg/s' ? 2 : ['ft', 'rpm', 'ft/min'].includes(unit) ? 0 : 1;
  return Math.min(Math.max(wanted, 0), most);
}

/** `220 ± 8 ft`, `26° ± 2°`; without a σ just the number. */
export function withSigma(value: number, sigma: Maybe, unit: string): string {
  const places = decimals(sigma, unit);
  const small = number(sigma ?? NaN, places);
  // A σ that rounds to nothing would read as certainty: the number stands alone then.
  if (!saysSomething(small)) return withUnit(value, places, unit);
  if (unit === 'deg') return `${number(value, places)}°${NBSP}±${NBSP}${small}°`;
  return `${number(value, places)}${NBSP}±${NBSP}${small}${unitWord(unit)}`;
}

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

/** First letter in upper case. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** First letter in lower case, unless the word is an abbreviation. */
export function decapital(text: string): string {
  return /^.[a-z ]/.test(text) ? text.charAt(0).toLowerCase() + text.slice(1) : text;
}
