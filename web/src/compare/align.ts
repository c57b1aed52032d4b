// What two maneuvers of a kind are laid over each other by: a moment that both have.

import type { FlightEvent, Maneuver } from '../flight/document';
import { plainId } from '../flight/names';

/** A moment of one maneuver. */
export interface Moment {
  readonly at_s: number;
  /** 1-σ, s. */
  readonly sigma_s: number;
}

/** A moment that both have. */
export interface Shared {
  readonly id: string;
  readonly words: string;
  readonly a: Moment;
  readonly b: Moment;
}

/** What defines a maneuver, most telling first. */
const DEFINING = [
  'full_stall',
  'first_cue',
  'recovery_start',
  'recovery_input',
  'bank_established',
  'roll_in',
  'established',
  'pitch_up',
  'first_turn_end',
];

function nth(maneuver: Maneuver, name: string, index: number): FlightEvent | undefined {
  return maneuver.events.filter((event) => event.name === name && Number.isFinite(event.at_s))[index];
}

function moment(event: FlightEvent): Moment {
  return { at_s: event.at_s, sigma_s: event.sigma_s };
}

/**
 * The events that both have, in the order of the first maneuver; one that repeats is counted (`flaps down, 2`). The
 * beginning always comes first and the end last, so that there is something to align by.
 */
export function sharedMoments(a: Maneuver, b: Maneuver): Shared[] {
  const seen = new Map<string, number>();
  const events = a.events.flatMap((event): Shared[] => {
    const index = seen.get(event.name) ?? 0;
    seen.set(event.name, index + 1);
    const other = nth(b, event.name, index);
    if (!other || !Number.isFinite(event.at_s)) return [];
    const words = index === 0 ? plainId(event.name) : `${plainId(event.name)}, ${String(index + 1)}`;
    const id = index === 0 ? event.name : `${event.name}-${String(index + 1)}`;
    return [{ id, words, a: moment(event), b: moment(other) }];
  });
  const edge = (id: string, words: string, of: (one: Maneuver) => number): Shared => ({
    id,
    words,
    a: { at_s: of(a), sigma_s: 0 },
    b: { at_s: of(b), sigma_s: 0 },
  });
  return [
    edge('start', 'beginning', (one) => one.start_s),
    ...events.sort((x, y) => x.a.at_s - y.a.at_s),
    edge('end', 'end', (one) => one.end_s),
  ];
}

/** What to align by unless someone chooses otherwise. */
export function defining(shared: readonly Shared[]): Shared {
  const found = DEFINING.map((id) => shared.find((one) => one.id === id)).find((one) => one !== undefined);
  const first = found ?? shared[0];
  return first ?? { id: 'start', words: 'beginning', a: { at_s: 0, sigma_s: 0 }, b: { at_s: 0, sigma_s: 0 } };
}

/** Seconds before (negative) and after the moment that deserve the width. */
export interface Window {
  readonly from_s: number;
  readonly to_s: number;
}

/** Everything of both, around the moment. */
export function whole(a: Maneuver, b: Maneuver, by: Shared): Window {
  return {
    from_s: Math.min(a.start_s - by.a.at_s, b.start_s - by.b.at_s),
    to_s: Math.max(a.end_s - by.a.at_s, b.end_s - by.b.at_s),
  };
}

/** Of a stall the pull and the recovery of both; of anything else everything. */
export function telling(a: Maneuver, b: Maneuver, by: Shared): Window {
  const all = whole(a, b, by);
  if (!a.kind.endsWith('stall')) return all;
  const pairs = [
    { one: a, at_s: by.a.at_s },
    { one: b, at_s: by.b.at_s },
  ];
  const times = (names: readonly string[]): number[] =>
    pairs.flatMap(({ one, at_s }) =>
      one.events.filter((event) => names.includes(event.name)).map((event) => event.at_s - at_s),
    );
  const pulls = times(['pitch_up', 'idle', 'power_set']).filter((t) => t > -45);
  const climbs = times(['positive_climb']).filter((t) => t < 45);
  const stalls = times(['full_stall', 'first_cue', 'recovery_start']);
  const from_s = Math.min(...pulls, ...stalls) - 3;
  const to_s = Math.max(...climbs, ...stalls.map((t) => t + 8)) + 5;
  if (!Number.isFinite(to_s - from_s)) return all;
  return { from_s: Math.max(from_s, all.from_s), to_s: Math.min(to_s, all.to_s) };
}

/** The difference of two moments' distances from the alignment, with its 1-σ. */
export function timing(one: Shared, by: Shared): { a: Moment; b: Moment; difference: Moment } {
  const from = (moment: Moment, zero: Moment): Moment => ({
    at_s: moment.at_s - zero.at_s,
    sigma_s: one.id === by.id ? 0 : Math.hypot(moment.sigma_s, zero.sigma_s),
  });
  const a = from(one.a, by.a);
  const b = from(one.b, by.b);
  return { a, b, difference: { at_s: a.at_s - b.at_s, sigma_s: Math.hypot(a.sigma_s, b.sigma_s) } };
}
