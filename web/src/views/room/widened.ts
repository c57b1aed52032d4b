// The stretch that is shown while bounds are moved: the maneuver with room on both sides to move them out.

import { between, type TimeWindow } from '../../flight/window';
import type { Span } from '../../word/span';

export function widened({ start_s, end_s }: Span, flight_s: number): TimeWindow {
  const beside = Math.max(0.3 * (end_s - start_s), 15);
  return between(Math.max(start_s - beside, 0), Math.min(end_s + beside, flight_s), flight_s);
}
