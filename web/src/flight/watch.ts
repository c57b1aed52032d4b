// The flight's clock: UTC where the recording says it, else time from the first sample.

const DAY_S = 86_400;

function two(value: number): string {
  return String(value).padStart(2, '0');
}

export class Watch {
  /** UTC of the first sample, s since 1970. */
  readonly start_unix_s: number | undefined;

  constructor(start_utc: string | null | undefined) {
    const start = start_utc ? Date.parse(start_utc) / 1000 : NaN;
    this.start_unix_s = Number.isFinite(start) ? start : undefined;
  }

  /** What to add to a time of the flight so that it stands on round clock times, s. */
  get offset_s(): number {
    return (((this.start_unix_s ?? 0) % DAY_S) + DAY_S) % DAY_S;
  }

  /** `14:06:25` (hours of the day, or hours since the first sample). */
  hms(at_s: number): string {
    const s = Math.floor(this.#seconds(at_s, 0));
    return `${two(Math.floor(s / 3600))}:${two(Math.floor(s / 60) % 60)}:${two(s % 60)}`;
  }

  /** `14:06`. */
  hm(at_s: number): string {
    return this.hms(at_s).slice(0, 5);
  }

  /** `06:25`, minutes and seconds of the hour. */
  ms(at_s: number): string {
    return this.hms(at_s).slice(3);
  }

  /** `07:32.4`, for the cursor. */
  tenths(at_s: number): string {
    const s = this.#seconds(at_s, 1);
    const tenths = Math.round((s % 60) * 10);
    return `${two(Math.floor(s / 60) % 60)}:${two(Math.floor(tenths / 10))}.${String(tenths % 10)}`;
  }

  /** `UTC`, or what the times count from. */
  get zone(): string {
    return this.start_unix_s === undefined ? 'from the first sample' : 'UTC';
  }

  /** `4 September 2025`. */
  get date(): string | undefined {
    if (this.start_unix_s === undefined) return undefined;
    const date = new Date(this.start_unix_s * 1000);
    const month = date.toLocaleString('en-US', { month: 'long', timeZone: 'UTC' });
    return `${String(date.getUTCDate())} ${month} ${String(date.getUTCFullYear())}`;
  }

  /** Rounded to `places`, and turned round at midnight. */
  #seconds(at_s: number, places: number): number {
    const scale = 10 ** places;
    const t = (Number.isFinite(at_s) ? at_s : 0) + (this.start_unix_s ?? 0);
    const rounded = Math.round(t * scale) / scale;
    return this.start_unix_s === undefined ? Math.max(rounded, 0) : ((rounded % DAY_S) + DAY_S) % DAY_S;
  }
}
