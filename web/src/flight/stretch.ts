// The time axis of a maneuver: stretched around a stall, else linear. The printed sheet is cut by the same rule.

import { TimeAxis } from './axis';
import type { Maneuver } from './document';

/** A piece shorter than this joins its neighbor, s: there would be nothing to see in it. */
const SHORTEST_S = 4;

/** The axis of a maneuver between two edges, px. */
export function maneuverAxis(maneuver: Maneuver, x0: number, x1: number): TimeAxis {
  const { start_s: start, end_s: end } = maneuver;
  const part = focus(maneuver);
  if (!part) return TimeAxis.linear(start, end, x0, x1);
  const from = part.from - start < SHORTEST_S ? start : part.from;
  const to = end - part.to < SHORTEST_S ? end : part.to;
  const before = from - start;
  const during = to - from;
  const after = end - to;
  // Stretching pays only where the outer parts would take a good share of the width.
  if (during <= 0 || before + after < 0.6 * during) return TimeAxis.linear(start, end, x0, x1);
  const share = (seconds: number, most: number): number =>
    seconds <= 0 ? 0 : Math.min(seconds / (end - start), most);
  const left = share(before, 0.26);
  const right = share(after, 0.16);
  return TimeAxis.stretched(
    [
      { t0: start, t1: from, share: left },
      { t0: from, t1: to, share: 1 - left - right },
      { t0: to, t1: end, share: right },
    ],
    x0,
    x1,
  );
}

/** When an event of a maneuver was; the first where there are several. */
export function eventTime(maneuver: Maneuver, name: string): number | undefined {
  return maneuver.events.find((event) => event.name === name)?.at_s;
}

/** The part of a stall that deserves the width: from just before the pull to the climb. */
function focus(maneuver: Maneuver): { from: number; to: number } | undefined {
  if (!maneuver.kind.endsWith('stall')) return undefined;
  const at = (name: string): number | undefined => eventTime(maneuver, name);
  const anchor = at('full_stall') ?? at('first_cue') ?? at('recovery_start');
  if (anchor === undefined) return undefined;
  const pulls = ['pitch_up', 'idle', 'power_set']
    .map(at)
    .filter((t): t is number => t !== undefined && t < anchor && anchor - t < 40);
  const pull = pulls.length > 0 ? Math.max(...pulls) : anchor - 15;
  const climbed = at('positive_climb');
  const climb = climbed !== undefined && climbed > anchor && climbed - anchor < 30 ? climbed : anchor + 8;
  const from = Math.max(pull - 2, maneuver.start_s);
  const to = Math.min(climb + 3, maneuver.end_s);
  return to > from ? { from, to } : undefined;
}
