// Times of a maneuver as people set them: tenths of a second, never crossing, within the flight.

/** Shorter than this nothing is a maneuver, s (docs/corrections.md). */
export const LEAST_S = 5;

export interface Span {
  readonly start_s: number;
  readonly end_s: number;
}

export type Edge = 'start' | 'end';

/** Seconds to the tenth, as corrections are written. */
export function tenth(t: number): number {
  return Math.round(t * 10) / 10;
}

/** Moves one edge; it stays within the flight and leaves at least the shortest maneuver. */
export function moved(span: Span, edge: Edge, to_s: number, flight_s: number): Span {
  const to = tenth(Math.min(Math.max(Number.isFinite(to_s) ? to_s : 0, 0), Math.floor(flight_s * 10) / 10));
  return edge === 'start'
    ? { start_s: Math.min(to, tenth(span.end_s - LEAST_S)), end_s: span.end_s }
    : { start_s: span.start_s, end_s: Math.max(to, tenth(span.start_s + LEAST_S)) };
}

/** A span around a moment, for a maneuver that was not found. */
export function around(at_s: number, flight_s: number, half_s = 15): Span {
  const end = Math.min(tenth(at_s + half_s), Math.floor(flight_s * 10) / 10);
  const start = Math.max(tenth(at_s - half_s), 0);
  return { start_s: start, end_s: Math.max(end, Math.min(start + LEAST_S, flight_s)) };
}

/** Seconds that two spans share; negative when they are apart. */
export function overlap(one: Span, other: Span): number {
  return Math.min(one.end_s, other.end_s) - Math.max(one.start_s, other.start_s);
}

/** Whether two spans are the same maneuver: half of the shorter in common (docs/corrections.md). */
export function same(one: Span, other: Span): boolean {
  const shorter = Math.min(one.end_s - one.start_s, other.end_s - other.start_s);
  return overlap(one, other) > 0 && overlap(one, other) >= 0.5 * shorter;
}

/** `14:06:25.3`, to be written in a field. */
export function clockText(at_s: number, start_unix_s: number | undefined): string {
  const tenths = Math.round((at_s + (start_unix_s ?? 0)) * 10);
  const s = Math.floor(tenths / 10) % 86_400;
  const two = (n: number): string => String(n).padStart(2, '0');
  return `${two(Math.floor(s / 3600))}:${two(Math.floor(s / 60) % 60)}:${two(s % 60)}.${String(tenths % 10)}`;
}

/** Reads such a time back into seconds from the first sample, or nothing where it does not read. */
export function readClock(text: string, start_unix_s: number | undefined): number | undefined {
  const found = /^\s*(\d{1,2}):(\d{2}):(\d{2}(?:[.,]\d+)?)\s*$/.exec(text);
  if (!found) return undefined;
  const [h, m, s] = [Number(found[1]), Number(found[2]), Number((found[3] ?? '').replace(',', '.'))];
  if (h > 23 || m > 59 || s >= 60) return undefined;
  const of_day = h * 3600 + m * 60 + s;
  if (start_unix_s === undefined) return tenth(of_day);
  const start_of_day = ((start_unix_s % 86_400) + 86_400) % 86_400;
  // A flight over midnight: a clock time before the first sample's is the next day's.
  const after = of_day - start_of_day;
  return tenth(after < -43_200 ? after + 86_400 : after);
}
