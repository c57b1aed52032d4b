// What an act changed, in words: marks that turned, numbers that moved, maneuvers that came, went or got other bounds.
// It compares two documents that the server computed and computes no mark itself.

import type { Debrief, Fact, Maneuver, Mark } from '../../flight/document';
import { elementShort } from '../../flight/names';
import type { Watch } from '../../flight/watch';
import { isLeft, limits, worst } from '../../maneuver/words';
import { capital, withSigma } from '../../shared/format';
import { verdictWord } from '../../shared/verdict';

export interface Change {
  /** What: `Heading to the stall`, `Boundaries`. */
  readonly what: string;
  readonly before: string;
  readonly after: string;
  /** A mark turned, or a maneuver came or went: told first. */
  readonly turned: boolean;
}

export interface Changed {
  /** `5 Power-off stall, straight ahead`. */
  readonly maneuver: string;
  readonly number: number;
  readonly changes: readonly Change[];
}

/** Facts worth telling, in words; the marks carry all else. */
const FACTS: Readonly<Record<string, string>> = {
  altitude_lost_ft: 'height lost',
  heading_turned_deg: 'heading turned',
};

/** Everything that differs, maneuver by maneuver, in order of time. */
export function changesOf(before: Debrief, after: Debrief, watch: Watch): Changed[] {
  const pairs = pairsOf(before.maneuvers, after.maneuvers);
  return pairs
    .flatMap(({ was, is }): Changed[] => {
      const changes = was && is ? between(was, is, watch) : whole(was, is, watch);
      const named = is ?? was;
      return named && changes.length > 0
        ? [{ maneuver: `${String(named.number)} ${named.title}`, number: is?.number ?? 0, changes }]
        : [];
    })
    .sort((a, b) => Number(b.changes.some(turned)) - Number(a.changes.some(turned)));
}

const turned = (change: Change): boolean => change.turned;

interface Pair {
  readonly was: Maneuver | undefined;
  readonly is: Maneuver | undefined;
}

/** Each maneuver with the one that it was: the greatest overlap, one to one, the same kind first. */
function pairsOf(before: readonly Maneuver[], after: readonly Maneuver[]): Pair[] {
  const candidates = after
    .flatMap((is) => before.map((was) => ({ was, is, worth: worth(was, is) })))
    .filter(({ worth: value }) => value > 0)
    .sort((a, b) => b.worth - a.worth);
  const taken = new Set<Maneuver>();
  const pairs: Pair[] = [];
  for (const { was, is } of candidates) {
    if (taken.has(was) || taken.has(is)) continue;
    taken.add(was).add(is);
    pairs.push({ was, is });
  }
  for (const was of before) if (!taken.has(was)) pairs.push({ was, is: undefined });
  for (const is of after) if (!taken.has(is)) pairs.push({ was: undefined, is });
  return pairs.sort((a, b) => start(a) - start(b));
}

function start({ was, is }: Pair): number {
  return (is ?? was)?.start_s ?? 0;
}

function worth(was: Maneuver, is: Maneuver): number {
  const shared = Math.min(was.end_s, is.end_s) - Math.max(was.start_s, is.start_s);
  return shared <= 0 ? 0 : shared + (was.kind === is.kind ? 1e6 : 0);
}

function whole(was: Maneuver | undefined, is: Maneuver | undefined, watch: Watch): Change[] {
  if (is) return [{ what: 'Added', before: '', after: span(is, watch), turned: true }];
  return was ? [{ what: 'Taken out', before: span(was, watch), after: '', turned: true }] : [];
}

function span({ start_s, end_s }: Maneuver, watch: Watch): string {
  return `${watch.hms(start_s)}–${watch.hms(end_s)}`;
}

function between(was: Maneuver, is: Maneuver, watch: Watch): Change[] {
  const changes: Change[] = [];
  const put = (what: string, before: string, after: string, isTurned = false): void => {
    if (before !== after) changes.push({ what, before, after, turned: isTurned });
  };
  // Another kind is another task: what only one of the two asks for says little, what both ask for is compared.
  const sameKind = was.kind === is.kind;
  put('What it is', was.title, is.title, !sameKind);
  put('Boundaries', tenths(was, watch), tenths(is, watch));
  for (const mark of is.marks) {
    const other = was.marks.find((one) => isSame(one, mark));
    const aims = other !== undefined && limits(other) !== limits(mark);
    const after = said(is, mark, aims);
    if (other) put(capital(mark.quantity), said(was, other, aims), after, other.mark !== mark.mark);
    else if (mark.mark !== 'for_instructor') put(capital(mark.quantity), 'not asked', after, sameKind);
  }
  for (const mark of was.marks) {
    const gone = !is.marks.some((one) => isSame(one, mark));
    if (gone && mark.mark !== 'for_instructor') {
      put(capital(mark.quantity), said(was, mark), 'not asked', sameKind);
    }
  }
  for (const [id, words] of Object.entries(FACTS)) {
    put(capital(words), fact(was.facts[id]), fact(is.facts[id]));
  }
  return changes.sort((a, b) => Number(b.turned) - Number(a.turned));
}

/** The same criterion of the same element, whatever the task is called: `S6` of both stalls is the heading. */
function isSame(one: Mark, other: Mark): boolean {
  return one.criterion === other.criterion && elementShort(one.element) === elementShort(other.element);
}

/** Bounds to the tenth: a step of 0.1 s is a change too. */
function tenths({ start_s, end_s }: Maneuver, watch: Watch): string {
  return `${watch.tenths(start_s)}–${watch.tenths(end_s)}`;
}

/** `not met, 26° ± 2° right`; where it is what was asked for that changed, `…, asked for 063° ± 10°`. */
function said(maneuver: Maneuver, mark: Mark, aims = false): string {
  const value = worst(mark, isLeft(maneuver));
  const asked = aims ? limits(mark) : '';
  return [verdictWord(mark.mark), value ?? '', asked === '' ? '' : `asked for ${asked}`]
    .filter((part) => part !== '')
    .join(', ');
}

function fact(one: Fact | undefined): string {
  return one && Number.isFinite(one.value) ? withSigma(one.value, one.sigma, one.unit) : 'not known';
}

/** One sentence for who listens. */
export function spokenChanges(all: readonly Changed[]): string {
  const turns = all.flatMap(({ changes }) => changes.filter(turned));
  if (all.length === 0) return 'Marked anew; no mark and no number changed.';
  if (turns.length === 0) return 'Marked anew; numbers moved, no mark changed.';
  return `Marked anew. ${turns.map(sentenceOf).join('. ')}.`;
}

/** `Heading to the stall: met → not met`. */
function sentenceOf({ what, before, after }: Change): string {
  if (before === '') return `${what} ${after}`;
  return after === '' ? `${what} ${before}` : `${what}: ${before}, now ${after}`;
}
