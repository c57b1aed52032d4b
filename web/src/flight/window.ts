// The stretch of time that a sheet shows when it is zoomed, and how it moves. Pure, so that it is tested without a page.

export interface TimeWindow {
  readonly from_s: number;
  readonly to_s: number;
}

/** Below this nothing more is to be seen: twenty samples at 10 Hz. */
export const SHORTEST_S = 2;

/** A window of a length inside `[0, end]`, moved in if it hangs over. */
function fitted(from_s: number, length_s: number, end_s: number): TimeWindow {
  const length = Math.min(Math.max(length_s, SHORTEST_S), Math.max(end_s, SHORTEST_S));
  const from = Math.min(Math.max(from_s, 0), Math.max(end_s - length, 0));
  return { from_s: from, to_s: from + length };
}

/** Zooms by a factor (below 1 = closer) so that `at_s` stays where it is on the screen. */
export function zoomed(
  { from_s, to_s }: TimeWindow,
  at_s: number,
  factor: number,
  end_s: number,
): TimeWindow {
  const length = Math.min(Math.max((to_s - from_s) * factor, SHORTEST_S), end_s);
  const share = Math.min(Math.max((at_s - from_s) / Math.max(to_s - from_s, 1e-9), 0), 1);
  return fitted(from_s + share * (to_s - from_s) - share * length, length, end_s);
}

/** Moves by seconds, later positive. */
export function panned({ from_s, to_s }: TimeWindow, by_s: number, end_s: number): TimeWindow {
  return fitted(from_s + by_s, to_s - from_s, end_s);
}

/** From one time to another, whichever comes first. */
export function between(a_s: number, b_s: number, end_s: number): TimeWindow {
  const low = Math.min(a_s, b_s);
  const length = Math.abs(b_s - a_s);
  // Too short a stretch grows around its middle.
  return fitted(length < SHORTEST_S ? low + length / 2 - SHORTEST_S / 2 : low, length, end_s);
}
