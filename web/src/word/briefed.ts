// What was briefed, as a list that is sent whole (docs/briefed-file.md): reading it for one maneuver, and changing it
// for one or for all of its kind.

import type { Asked, Briefed } from '../shared/api/types';
import type { Maneuver, Mark } from '../flight/document';
import { number } from '../shared/format';
import { tenth } from './span';

export type Recovery = 'full_stall' | 'first_indication';
export type NumberKey = 'bank_deg' | 'heading_deg' | 'speed_kias' | 'altitude_ft';
export type Key = NumberKey | 'recovery';
/** For this maneuver, or for all of its kind. */
export type Scope = 'this' | 'kind';

/** What is asked for, key by key; absent = not asked for. */
export type Values = Partial<Record<NumberKey, number>> & { recovery?: Recovery; variant?: string };

export interface KeyWords {
  readonly words: string;
  readonly unit: string;
  readonly low: number;
  readonly high: number;
  /** Step of the field. */
  readonly step: number;
}

/** Names, units and limits as the briefing file has them. */
export const NUMBERS: Readonly<Record<NumberKey, KeyWords>> = {
  bank_deg: { words: 'Bank', unit: 'degrees', low: 0, high: 75, step: 1 },
  heading_deg: { words: 'Heading', unit: 'degrees magnetic', low: 0, high: 360, step: 1 },
  speed_kias: { words: 'Airspeed', unit: 'kt indicated', low: 1, high: 400, step: 1 },
  altitude_ft: { words: 'Altitude', unit: 'ft by the altimeter', low: -1000, high: 25_000, step: 10 },
};

/** Forms that a kind may be asked for in, as docs/briefed-file.md lists them. */
const FIELD = { short_field: 'short field', soft_field: 'soft field', crosswind: 'crosswind' };
const DEMONSTRATION = { cross_controlled: 'crossed controls', elevator_trim: 'elevator trim' };
const SECONDARY = { secondary: 'secondary stall' };
const FORMS: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  takeoff: FIELD,
  landing: { ...FIELD, no_flap: 'no flap', forward_slip: 'forward slip' },
  power_off_stall: { ...DEMONSTRATION, ...SECONDARY },
  power_on_stall: { ...DEMONSTRATION, ...SECONDARY },
  accelerated_stall: SECONDARY,
};

/** Id and words of the forms that a kind may be asked for in; empty = it has none. */
export function formsOf(kind: string): [id: string, words: string][] {
  const forms = Object.entries(FORMS[kind] ?? {});
  return forms.length === 0 ? [] : [...forms, ['plain', 'no particular form']];
}

const STALLS = ['power_off_stall', 'power_on_stall', 'accelerated_stall'];

/** What can be asked for in a maneuver of a kind. */
export function keysOf(kind: string): Key[] {
  if (STALLS.includes(kind)) return ['recovery', 'bank_deg', 'heading_deg'];
  if (kind === 'slow_flight') return ['bank_deg', 'heading_deg', 'speed_kias', 'altitude_ft'];
  if (kind === 'steep_turn') return ['speed_kias', 'altitude_ft'];
  return [];
}

/** A maneuver as entries find it. */
export type Place = Pick<Maneuver, 'kind' | 'number' | 'start_s' | 'end_s'> & {
  /** Which one of its kind, from 1. */
  readonly nth?: number;
};

/** The place of a maneuver among all of the flight. */
export function placeOf(maneuver: Maneuver, all: readonly Maneuver[]): Place {
  const { kind, number, start_s, end_s } = maneuver;
  const nth = all.filter((one) => one.kind === kind && one.number <= number).length;
  return { kind, number, start_s, end_s, nth };
}

/** Whether an entry is for this one maneuver. */
function isFor(one: Asked, maneuver: Place): boolean {
  const single = has(one.at_s) || has(one.number) || has(one.nth);
  return (
    single &&
    (!one.kind || one.kind === maneuver.kind) &&
    (!has(one.at_s) || (one.at_s >= maneuver.start_s && one.at_s <= maneuver.end_s)) &&
    (!has(one.number) || one.number === maneuver.number) &&
    (!has(one.nth) || one.nth === maneuver.nth)
  );
}

/** How close an entry is: time or number over which of its kind, that over the kind. */
function closeness(one: Asked): number {
  if (has(one.at_s) || has(one.number)) return 2;
  return has(one.nth) ? 1 : 0;
}

/** Whether an entry is for every maneuver of the kind and for no single one. */
function isForKind(one: Asked, kind: string): boolean {
  return one.kind === kind && !has(one.at_s) && !has(one.nth) && !has(one.number);
}

function has<T>(value: T | null | undefined): value is T {
  return value !== null && value !== undefined;
}

function valuesOf(one: Asked | undefined): Values {
  const values: Values = {};
  if (!one) return values;
  if (one.recovery) values.recovery = one.recovery;
  if (one.variant) values.variant = one.variant;
  for (const key of Object.keys(NUMBERS) as NumberKey[]) {
    const value = one[key];
    if (has(value)) values[key] = value;
  }
  return values;
}

/** What is asked for in this maneuver alone; of several entries the closer wins, key by key. */
export function askedOfThis(briefed: Briefed, maneuver: Place): Values {
  return (briefed.maneuver ?? [])
    .filter((one) => isFor(one, maneuver))
    .sort((a, b) => closeness(a) - closeness(b))
    .reduce<Values>((values, one) => ({ ...values, ...valuesOf(one) }), {});
}

/** What holds in this maneuver in the end. */
export function askedHere(briefed: Briefed, maneuver: Place): Values {
  const all = valuesOf((briefed.maneuver ?? []).find((one) => !one.kind && closeness(one) === 0));
  return { ...all, ...askedOfKind(briefed, maneuver.kind), ...askedOfThis(briefed, maneuver) };
}

/** `short field`; an id that is not known stands as it is. */
function formWords(id: string): string {
  if (id === 'plain') return 'no particular form';
  const known = Object.values(FORMS).find((forms) => id in forms);
  return known?.[id] ?? id;
}

/** `full stall, heading 090°, 57 kt`; empty = nothing is asked for. */
export function askedWords(values: Values): string {
  const parts: string[] = [];
  if (values.variant) parts.push(formWords(values.variant));
  if (values.recovery)
    parts.push(
      `${values.recovery === 'full_stall' ? 'recovery after a full stall' : 'recovery at the first indication'}`,
    );
  if (has(values.bank_deg)) parts.push(`bank ${String(values.bank_deg)}°`);
  if (has(values.heading_deg)) parts.push(`heading ${String(values.heading_deg).padStart(3, '0')}°`);
  if (has(values.speed_kias)) parts.push(`${String(values.speed_kias)}\u00a0kt`);
  if (has(values.altitude_ft)) parts.push(`${number(values.altitude_ft)}\u00a0ft`);
  return parts.join(', ');
}

/** What is asked for in all of its kind. */
export function askedOfKind(briefed: Briefed, kind: string): Values {
  const values = valuesOf((briefed.maneuver ?? []).find((one) => isForKind(one, kind)));
  if (!values.recovery && briefed.recovery && STALLS.includes(kind)) values.recovery = briefed.recovery;
  return values;
}

/** The list with this asked for; what was asked for before in the same scope is replaced, all else stays. */
export function withAsked(briefed: Briefed, maneuver: Place, scope: Scope, values: Values): Briefed {
  const entries = briefed.maneuver ?? [];
  const mine = (one: Asked): boolean =>
    scope === 'this' ? isFor(one, maneuver) : isForKind(one, maneuver.kind);
  const rest = entries.filter((one) => !mine(one));
  const place: Asked =
    scope === 'this'
      ? { kind: maneuver.kind, at_s: tenth((maneuver.start_s + maneuver.end_s) / 2) }
      : { kind: maneuver.kind };
  const said = Object.keys(values).length > 0;
  const after: Briefed = { ...briefed, maneuver: said ? [...rest, { ...place, ...values }] : rest };
  // A recovery for every stall of the flight would shine through where all of a kind were asked to be left open.
  if (scope === 'kind' && briefed.recovery && STALLS.includes(maneuver.kind) && !values.recovery) {
    return { ...after, recovery: null };
  }
  return after;
}

/** Reads a field: nothing written = not asked for; what is out of range is told. */
export function readNumber(key: NumberKey, text: string): { value?: number; error?: string } {
  const trimmed = text
    .trim()
    .replace('−', '-')
    .replace(/,(?=\d{3}\b)/g, '');
  if (trimmed === '') return {};
  const value = Number(trimmed);
  const { words, low, high, unit } = NUMBERS[key];
  if (!Number.isFinite(value)) return { error: `${words} is a number in ${unit}.` };
  if (value < low || value > high)
    return { error: `${words} lies from ${String(low)} to ${String(high)} ${unit}.` };
  return { value };
}

const CRITERIA: Readonly<Record<NumberKey, (criterion: string) => boolean>> = {
  bank_deg: (criterion) => criterion === 'bank' || criterion === 'bank_max_20',
  heading_deg: (criterion) => criterion === 'heading',
  speed_kias: (criterion) => criterion === 'airspeed',
  altitude_ft: (criterion) => criterion === 'altitude',
};

/** What the program took the target to be where nobody briefed it: shown in the empty field. */
export function assumedOf(marks: readonly Mark[], key: NumberKey): number | undefined {
  const mark = marks.find((one) => CRITERIA[key](one.criterion) && has(one.target));
  if (!mark || !has(mark.target)) return undefined;
  if (key === 'heading_deg') return ((Math.round(mark.target) % 360) + 360) % 360;
  if (key === 'bank_deg') return Math.abs(Math.round(mark.target));
  return key === 'altitude_ft' ? Math.round(mark.target / 10) * 10 : Math.round(mark.target);
}
