// Which stretch is meant when a maneuver is added, and what lies beneath a stretch.

import type { Maneuver } from '../../flight/document';
import type { TimeWindow } from '../../flight/window';
import { around, overlap, tenth, type Span } from '../../word/span';

/** Longer than this a zoomed stretch is a look around, not a maneuver that somebody chose, s. */
const LONGEST_S = 600;

/** The stretch that was chosen on the traces, where it is one; else what lies around the cursor. */
export function meantStretch(
  zoom: TimeWindow | undefined,
  cursor_s: number,
  maneuvers: readonly Pick<Maneuver, 'start_s' | 'end_s'>[],
  flight_s: number,
): Span {
  if (zoom && zoom.to_s - zoom.from_s <= LONGEST_S) {
    const span = { start_s: tenth(zoom.from_s), end_s: tenth(zoom.to_s) };
    const covers = maneuvers.some((one) => one.start_s >= span.start_s && one.end_s <= span.end_s);
    if (!covers && span.end_s - span.start_s >= 5) return span;
  }
  return around(cursor_s, flight_s);
}

/** What gives way to a stretch (docs/corrections.md, "Neighbors give way"), in order of time. */
export function beneath<T extends Pick<Maneuver, 'start_s' | 'end_s'>>(
  maneuvers: readonly T[],
  span: Span,
  self: T | undefined,
): T[] {
  return maneuvers.filter((one) => one !== self && overlap(one, span) > 0.05);
}
