// Who set what: corrections and briefings are kept as whole lists, so whoever first sent a list that holds it, and
// holds it in every list since, is the one who set it.

import type { Act, Correction, Entry, PersonBrief } from '../../shared/api/types';

export interface SetBy {
  readonly by: PersonBrief;
  readonly at_utc: string;
}

type Whole = Extract<Act, { kind: 'corrections' | 'briefed' }>;

/** Whose word it is that `holds` says of each list; none = it is in no list, or in none since the last without it. */
export function setBy<K extends Whole['kind']>(
  entries: readonly Entry[],
  kind: K,
  holds: (act: Extract<Whole, { kind: K }>) => boolean,
): SetBy | undefined {
  let found: SetBy | undefined;
  for (const { act, by, at_utc } of [...entries].sort((a, b) => a.seq - b.seq)) {
    if (act.kind !== kind) continue;
    if (!holds(act as Extract<Whole, { kind: K }>)) found = undefined;
    else found ??= { by, at_utc };
  }
  return found;
}

/** Who made a correction. */
export function correctedBy(entries: readonly Entry[], correction: Correction): SetBy | undefined {
  const text = JSON.stringify(sorted(correction));
  return setBy(entries, 'corrections', ({ corrections }) =>
    corrections.some((one) => JSON.stringify(sorted(one)) === text),
  );
}

/** Keys in one order and nothing for what is left out: the server may write them otherwise than they were sent. */
export function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value)
      .filter(([, one]) => one !== null && one !== undefined)
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([key, one]) => [key, sorted(one)]),
  );
}
