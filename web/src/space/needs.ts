// Whether a plan says anything.

import type { Maneuver } from '../flight/document';

/** Degrees of turn below which nothing is to be seen from above. */
const LITTLE_DEG = 30;
/** A straight stall may swing its nose about this far; the ribbon of heading shows that better. */
const STALL_DEG = 60;

/** A straight stall and other straight flying need none; the whole flight does. */
export function needsPlan(maneuver: Maneuver | undefined, turned_deg: number | undefined): boolean {
  if (!maneuver || turned_deg === undefined) return maneuver === undefined;
  const straightStall = maneuver.kind.endsWith('stall') && maneuver.direction === 'straight';
  return turned_deg >= (straightStall ? STALL_DEG : LITTLE_DEG);
}
