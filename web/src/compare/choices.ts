// Which maneuvers there are to compare with, in groups that a person looks through.

import type { ManeuverBrief } from '../shared/api/types';

export interface Group {
  readonly name: string;
  readonly all: readonly ManeuverBrief[];
}

/** The lesson and number that an address means: `{lesson}:{number}`. */
export function readWith(text: string | null): { lesson: string; number: number } | undefined {
  const cut = text?.lastIndexOf(':') ?? -1;
  if (text === null || cut < 1) return undefined;
  const number = Number(text.slice(cut + 1));
  return Number.isInteger(number) && number > 0 ? { lesson: text.slice(0, cut), number } : undefined;
}

/** This lesson, the student's other lessons (latest first), demonstrations, others; empty groups are left out. */
export function groups(
  found: readonly ManeuverBrief[],
  lesson: string,
  number: number,
  student: string | undefined,
): Group[] {
  const key = (one: ManeuverBrief): string => `${one.lesson_id}:${String(one.number)}`;
  const unique = [...new Map(found.map((one) => [key(one), one])).values()].filter(
    (one) => !(one.lesson_id === lesson && one.number === number),
  );
  const later = (a: ManeuverBrief, b: ManeuverBrief): number => b.start_utc.localeCompare(a.start_utc);
  const inLesson = unique.filter((one) => one.lesson_id === lesson).sort((a, b) => a.number - b.number);
  const rest = unique.filter((one) => one.lesson_id !== lesson).sort(later);
  const shown = rest.filter((one) => one.demonstration);
  const own = rest.filter(
    (one) => !one.demonstration && one.student?.id === student && student !== undefined,
  );
  const others = rest.filter((one) => !shown.includes(one) && !own.includes(one));
  return [
    { name: 'this lesson', all: inLesson },
    { name: 'other lessons of the same student', all: own },
    { name: 'demonstrations', all: shown },
    { name: 'others', all: others },
  ].filter((group) => group.all.length > 0);
}
