// Differences from what was signed, parted by whose they are: people's, and the program's, which would now say
// something else of the same flight.

import type { Difference } from '../shared/api/types';

/** What people say: header and word. All else is the program's document. */
const PEOPLES = new Set(['word', 'note', 'summary', 'title', 'student', 'instructor']);

export interface Parted {
  readonly people: readonly Difference[];
  readonly program: readonly Difference[];
}

export function parted(all: readonly Difference[]): Parted {
  return {
    people: all.filter((one) => PEOPLES.has(one.what)),
    program: all.filter((one) => !PEOPLES.has(one.what)),
  };
}

export interface Group {
  /** Title and time of the maneuver; empty = the whole lesson. */
  readonly title: string;
  readonly differences: readonly Difference[];
}

/** By maneuver, in the order they come. */
export function grouped(all: readonly Difference[]): Group[] {
  const groups = new Map<string, Difference[]>();
  for (const one of all) {
    const title = one.maneuver ?? '';
    groups.set(title, [...(groups.get(title) ?? []), one]);
  }
  return [...groups].map(([title, differences]) => ({ title, differences }));
}

/** The sentence without the maneuver that already stands above it. */
export function under(title: string, sentence: string): string {
  const rest =
    title !== '' && sentence.startsWith(`${title}: `) ? sentence.slice(title.length + 2) : sentence;
  return rest.charAt(0).toUpperCase() + rest.slice(1);
}
