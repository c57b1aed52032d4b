// The one place where numbers, times and dates become words: a true minus, thousands commas, the unit, no more
// decimals than σ deserves. The printed sheets round by the same rules (docs/looks.md, "Numbers"). Times are UTC.

const NBSP = '\u00a0';

type Maybe = number | null | undefined;

/** Whether a written number has any figure but zero. */
function saysSomething(text: string): boolean {
  return /[1-9]/.test(text);
}

/** A number with thousands commas and a true minus; never "−0". */
export function number(value: number, decimals = 0): string {
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
    case '%':
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

/** `one flight`, `12 flights`: small counts in words, the plural with s unless it is given. */
export function count(n: number, one: string, many = `${one}s`): string {
  const small = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine'];
  return `${small[n] ?? number(n)}${NBSP}${n === 1 ? one : many}`;
}

const MONTHS = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
];
const WEEKDAYS = ['Sunday', 'Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday'];

function parse(utc: string | null | undefined): Date | null {
  const time = Date.parse(utc ?? '');
  return Number.isNaN(time) ? null : new Date(time);
}

const two = (n: number) => String(n).padStart(2, '0');

/** `4 September 2025`. */
export function date(utc: string | null | undefined): string {
  const at = parse(utc);
  if (at === null) return 'date unknown';
  return `${String(at.getUTCDate())}${NBSP}${MONTHS[at.getUTCMonth()] ?? ''} ${String(at.getUTCFullYear())}`;
}

/** `Thursday, 4 September 2025`. */
export function day(utc: string | null | undefined): string {
  const at = parse(utc);
  return at === null ? 'date unknown' : `${WEEKDAYS[at.getUTCDay()] ?? ''}, ${date(utc)}`;
}

/** `14:06`, UTC; with seconds `14:06:25`. */
export function clock(utc: string | null | undefined, seconds = false): string {
  const at = parse(utc);
  if (at === null) return '—';
  const hm = `${two(at.getUTCHours())}:${two(at.getUTCMinutes())}`;
  return seconds ? `${hm}:${two(at.getUTCSeconds())}` : hm;
}

/** `4 September 2025, 14:06 UTC`. */
export function moment(utc: string | null | undefined): string {
  return parse(utc) === null ? 'time unknown' : `${date(utc)}, ${clock(utc)}${NBSP}UTC`;
}

/** `1 h 12 min`, `48 min`, `35 s`. */
export function duration(seconds: number): string {
  if (!Number.isFinite(seconds) || seconds < 0) return 'length unknown';
  if (seconds < 59.5) return `${String(Math.round(seconds))}${NBSP}s`;
  const minutes = Math.round(seconds / 60);
  const h = Math.floor(minutes / 60);
  const min = minutes % 60;
  if (h === 0) return `${String(min)}${NBSP}min`;
  return min === 0 ? `${String(h)}${NBSP}h` : `${String(h)}${NBSP}h ${String(min)}${NBSP}min`;
}

/** Whole days between two dates of the calendar (UTC), later minus earlier; null when either is unknown. */
export function daysBetween(earlier: string | null | undefined, later: string | Date): number | null {
  const from = parse(earlier);
  const to = typeof later === 'string' ? parse(later) : later;
  if (from === null || to === null) return null;
  const dayOf = (at: Date) => Date.UTC(at.getUTCFullYear(), at.getUTCMonth(), at.getUTCDate()) / 86_400_000;
  return dayOf(to) - dayOf(from);
}

/** `today`, `yesterday`, `38 days ago`, `in 3 days`. */
export function ago(utc: string | null | undefined, now: Date = new Date()): string {
  const days = daysBetween(utc, now);
  if (days === null) return 'date unknown';
  if (days === 0) return 'today';
  if (days === 1) return 'yesterday';
  if (days === -1) return 'tomorrow';
  return days > 0 ? `${number(days)}${NBSP}days ago` : `in ${number(-days)}${NBSP}days`;
}

/** `38 d`: days until now, for a board. */
export function ageDays(utc: string | null | undefined, now: Date = new Date()): string {
  const days = daysBetween(utc, now);
  return days === null ? '' : `${number(Math.max(days, 0))}${NBSP}d`;
}

/** `1.2 MB`, `840 kB`: decimal multiples, as file lists show them. */
export function bytes(n: number): string {
  if (!Number.isFinite(n) || n < 0) return 'size unknown';
  if (n < 1000) return `${String(Math.round(n))}${NBSP}bytes`;
  if (n < 999_500) return `${String(Math.round(n / 1000))}${NBSP}kB`;
  const mega = n / 1e6;
  return `${mega < 99.95 ? mega.toFixed(1) : number(mega)}${NBSP}MB`;
}

/** First letter in upper case. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** The first figures of a digest, for telling versions apart by eye. */
export function shortDigest(sha256: string): string {
  return sha256.slice(0, 12);
}
