// What marking anew changed, maneuver by maneuver: said at once after a setting, and when somebody else changed what
// the marks hang on.

import type { Debrief, Maneuver, Mark } from '../../flight/document';
import { elementShort } from '../../flight/names';
import { isLeft, limits, worst } from '../../maneuver/words';
import { verdictWord } from '../../shared/verdict';

export interface Change {
  /** Number of the maneuver now; none = it is no longer in the list. */
  readonly number: number | undefined;
  readonly title: string;
  readonly start_s: number;
  /** e.g. `heading (S6): was met, now not met`. */
  readonly words: string;
}

/** Marks that answer differently, maneuvers that came or went, and values or limits that read differently. */
export function changesOf(before: Debrief, after: Debrief): Change[] {
  const left = new Set(before.maneuvers);
  const all: Change[] = [];
  for (const is of after.maneuvers) {
    const was = twin(is, left);
    if (was) {
      left.delete(was);
      all.push(...ofMarks(was, is));
    } else all.push(change(is, is.number, 'new in the list'));
  }
  for (const was of left) all.push(change(was, undefined, 'no longer in the list'));
  return all;
}

function change(maneuver: Maneuver, number: number | undefined, words: string): Change {
  return { number, title: maneuver.title, start_s: maneuver.start_s, words };
}

/** The maneuver of this kind that shares most of the time. */
function twin(is: Maneuver, among: ReadonlySet<Maneuver>): Maneuver | undefined {
  const shared = (was: Maneuver) => Math.min(was.end_s, is.end_s) - Math.max(was.start_s, is.start_s);
  return [...among]
    .filter((was) => was.kind === is.kind && shared(was) > 0)
    .sort((a, b) => shared(b) - shared(a))[0];
}

function ofMarks(was: Maneuver, is: Maneuver): Change[] {
  // Another standard has other codes: then the criterion alone tells which is which.
  const sameTask = was.task === is.task;
  const same = (a: Mark, b: Mark) => a.criterion === b.criterion && (!sameTask || a.element === b.element);
  const name = (mark: Mark) => `${mark.quantity} (${elementShort(mark.element)})`;
  const out: string[] = [];
  if (!sameTask) out.push(`marked by ${is.task ?? 'nothing'}, before by ${was.task ?? 'nothing'}`);
  for (const mark of is.marks) {
    const old = was.marks.find((one) => same(one, mark));
    if (!old) out.push(`${name(mark)}: marked now, ${verdictWord(mark.mark)}`);
    else if (old.mark !== mark.mark)
      out.push(`${name(mark)}: was ${verdictWord(old.mark)}, now ${verdictWord(mark.mark)}`);
    else {
      const [valueWas, valueIs] = [worst(old, isLeft(was)), worst(mark, isLeft(is))];
      if (valueWas !== valueIs && valueIs)
        out.push(`${name(mark)}: was ${valueWas ?? 'nothing'}, now ${valueIs}`);
      if (limits(old) !== limits(mark))
        out.push(`${name(mark)}: the limit was ${limits(old) || 'none'}, now ${limits(mark) || 'none'}`);
    }
  }
  for (const old of was.marks)
    if (!is.marks.some((mark) => same(old, mark))) out.push(`${name(old)}: no longer marked`);
  return out.map((words) => change(is, is.number, words));
}
