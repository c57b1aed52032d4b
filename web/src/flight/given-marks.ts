// The person's words on marks, found by maneuver, element and criterion.

import type { GivenMark } from '../shared/api/types';

export class GivenMarks {
  readonly #all: ReadonlyMap<string, GivenMark>;

  constructor(marks: readonly GivenMark[]) {
    this.#all = new Map(
      marks
        .filter((one) => one.number !== null)
        .map((one) => [key(one.number ?? 0, one.element, one.criterion), one]),
    );
  }

  of(number: number, mark: { element: string; criterion: string }): GivenMark | undefined {
    return this.#all.get(key(number, mark.element, mark.criterion));
  }
}

function key(number: number, element: string, criterion: string): string {
  return `${String(number)} ${element} ${criterion}`;
}
