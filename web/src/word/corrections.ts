// Edits of a lesson's list of corrections (docs/corrections.md). The list is sent whole. What a person set before is
// replaced, not stacked: one maneuver, one correction, the latest last, because the later of two wins.

import type { Maneuver } from '../flight/document';
import type { Correction, Was } from '../shared/api/types';
import { overlap, same, tenth, type Span } from './span';

type SetOne = Extract<Correction, { do: 'set' }>;

/** What a person says a maneuver is. */
export interface Meant extends Span {
  readonly kind: string;
  /** None = as the flight shows. */
  readonly direction: string | null;
}

/** As much of a maneuver as corrections speak of. */
export type Corrected = Pick<Maneuver, 'kind' | 'direction' | 'start_s' | 'end_s'>;

/** Kind ids that may be set, in the order of a syllabus. */
export const KINDS: readonly string[] = [
  'power_off_stall',
  'power_on_stall',
  'accelerated_stall',
  'slow_flight',
  'steep_turn',
  'clearing_turns',
  'straight_and_level',
  'turn_to_heading',
  'constant_airspeed_climb',
  'constant_airspeed_descent',
  'turns_around_a_point',
  's_turns',
  'rectangular_course',
  'chandelle',
  'lazy_eight',
  'steep_spiral',
  'eights_on_pylons',
  'unusual_attitude_recovery',
  'emergency_descent',
  'engine_out_approach',
  'power_off_180',
  'forward_slip',
  'traffic_pattern',
  'takeoff',
  'landing',
  'go_around',
];

/** Ways a maneuver may go. */
export const DIRECTIONS: readonly string[] = [
  'left',
  'right',
  'straight',
  'left_right',
  'right_left',
  'none',
];

/** The correction that made this maneuver what it is; none = nobody corrected it. */
export function correctionOf(list: readonly Correction[], maneuver: Corrected): SetOne | undefined {
  return list
    .filter((one): one is SetOne => one.do === 'set' && one.kind === maneuver.kind && same(one, maneuver))
    .sort((a, b) => overlap(b, maneuver) - overlap(a, maneuver))[0];
}

function was(maneuver: Corrected): Was {
  return { kind: maneuver.kind, start_s: tenth(maneuver.start_s), end_s: tenth(maneuver.end_s) };
}

/** Sets kind, direction and bounds of a maneuver. */
export function withSet(list: readonly Correction[], maneuver: Corrected, meant: Meant): Correction[] {
  const before = correctionOf(list, maneuver);
  return [
    ...list.filter((one) => one !== before),
    {
      do: 'set',
      was: before ? (before.was ?? null) : was(maneuver),
      kind: meant.kind,
      direction: meant.direction,
      start_s: tenth(meant.start_s),
      end_s: tenth(meant.end_s),
    },
  ];
}

/** New bounds; kind and direction stay, and a direction that nobody set stays the flight's to show. */
export function withBounds(list: readonly Correction[], maneuver: Corrected, span: Span): Correction[] {
  const direction = correctionOf(list, maneuver)?.direction ?? null;
  return withSet(list, maneuver, { kind: maneuver.kind, direction, ...span });
}

/** A maneuver that was not found. */
export function withAdded(list: readonly Correction[], meant: Meant): Correction[] {
  const { kind, direction } = meant;
  return [
    ...list,
    { do: 'set', was: null, kind, direction, start_s: tenth(meant.start_s), end_s: tenth(meant.end_s) },
  ];
}

/** There was no such maneuver. One that a person had added is simply no longer added. */
export function withRemoved(list: readonly Correction[], maneuver: Corrected): Correction[] {
  const before = correctionOf(list, maneuver);
  const rest = list.filter((one) => one !== before);
  if (before && !before.was) return rest;
  return [...rest, { do: 'remove', was: before?.was ?? was(maneuver) }];
}

/** Takes a correction back: the program's own word stands again. */
export function without(list: readonly Correction[], correction: Correction): Correction[] {
  return list.filter((one) => one !== correction);
}

/** What was taken out, with its place in the list. */
export function removedOf(list: readonly Correction[]): Extract<Correction, { do: 'remove' }>[] {
  return list.filter((one) => one.do === 'remove');
}
