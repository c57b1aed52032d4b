// What was said first beside what was recorded: one row a question, one a limit, one a cause.

import type { Said, Verdict } from '../../../shared/api/types';
import { number, unitWord, withSigma } from '../../../shared/format';
import type { Maneuver, Mark } from '../../../flight/document';
import { plainId } from '../../../flight/names';
import { canBeShown, causeWords } from './causes';
import { isDecided, questionsOf, type NumberQuestion } from './questions';

/** Ids of the questions that are no numbers. */
export const LIMIT = 'limit_broken';
export const WHY = 'why';
/** The choice that says no limit broke. */
export const NONE = 'none';

/** What stands in the form. */
export interface Draft {
  readonly numbers: Readonly<Record<string, number>>;
  /** Criteria, or `none`. */
  readonly limits: readonly string[];
  readonly causes: readonly string[];
  readonly text: string;
}

export const EMPTY: Draft = { numbers: {}, limits: [], causes: [], text: '' };

/** The entry's list; questions that were left open are not in it. */
export function saidOf(draft: Draft, questions: readonly NumberQuestion[]): Said[] {
  const text = draft.text.trim();
  return [
    ...questions.flatMap(({ id, unit }): Said[] => {
      const value = draft.numbers[id];
      return value === undefined || !Number.isFinite(value) ? [] : [{ question: id, value, unit }];
    }),
    ...draft.limits.map((choice): Said => ({ question: LIMIT, choice })),
    ...draft.causes.map((choice): Said => ({ question: WHY, choice })),
    ...(text === '' ? [] : [{ question: WHY, text }]),
  ].slice(0, 20);
}

/** Ticks a limit: `none` and the others shut each other out. */
export function ticked(limits: readonly string[], choice: string, on: boolean): string[] {
  const rest = limits.filter((one) => one !== choice && (choice === NONE ? false : one !== NONE));
  return on ? [...rest, choice] : rest;
}

/** `120 ft low`, `26° right`, `1.5 s`. */
export function amount(value: number, question: Pick<NumberQuestion, 'unit' | 'sides' | 'step'>): string {
  const places = question.step < 1 ? 1 : 0;
  const size = `${number(question.sides ? Math.abs(value) : value, places)}${unitWord(question.unit)}`;
  return withSide(size, value, question.sides);
}

/** `220 ± 8 ft`, `26° ± 2° right`. */
export function recordedWords({ recorded, unit, sides }: NumberQuestion): string {
  const { value, sigma } = recorded;
  return withSide(withSigma(sides ? Math.abs(value) : value, sigma, unit), value, sides);
}

function withSide(size: string, value: number, sides: NumberQuestion['sides']): string {
  if (!sides || !/[1-9]/.test(size.split('±')[0] ?? '')) return size;
  return `${size} ${value > 0 ? sides[0] : sides[1]}`;
}

export interface NumberRow {
  readonly question: NumberQuestion;
  readonly said: number | undefined;
}

export interface LimitRow {
  readonly criterion: string;
  readonly words: string;
  readonly said: boolean;
  /** What counts now; none = the maneuver is no longer asked for it. */
  readonly verdict: Verdict | undefined;
  readonly remark: string;
}

export interface CauseRow {
  readonly words: string;
  readonly said: boolean;
  /** Headline of the finding that says the same. */
  readonly shown: string;
  readonly remark: string;
}

export interface Compared {
  readonly numbers: readonly NumberRow[];
  readonly limits: readonly LimitRow[];
  /** One sentence where nothing stands beside nothing. */
  readonly limitsWords: string;
  readonly causes: readonly CauseRow[];
  readonly text: string;
}

/** Said beside recorded. */
export function compared(
  maneuver: Maneuver,
  said: readonly Said[],
  verdict: (mark: Mark) => Verdict,
): Compared {
  const numbers = questionsOf(maneuver).numbers.map((question): NumberRow => ({
    question,
    said: said.find((one) => one.question === question.id)?.value ?? undefined,
  }));
  return {
    numbers: numbers.filter((row) => row.said !== undefined || row.question.id === 'height_lost'),
    ...limitsOf(maneuver, said, verdict),
    causes: causesOf(maneuver, said),
    text: said.find((one) => one.question === WHY && one.text)?.text ?? '',
  };
}

function choices(said: readonly Said[], question: string): string[] {
  return said.flatMap((one) => (one.question === question && one.choice ? [one.choice] : []));
}

function limitsOf(
  maneuver: Maneuver,
  said: readonly Said[],
  verdict: (mark: Mark) => Verdict,
): Pick<Compared, 'limits' | 'limitsWords'> {
  const named = choices(said, LIMIT);
  const marks = maneuver.marks.filter(
    (mark) => isDecided(mark) && (named.includes(mark.criterion) || verdict(mark) === 'not_met'),
  );
  const rows = marks.map((mark): LimitRow => {
    const now = verdict(mark);
    const here = named.includes(mark.criterion);
    return {
      criterion: mark.criterion,
      words: mark.quantity,
      said: here,
      verdict: now,
      remark: limitRemark(here, now),
    };
  });
  const gone = named
    .filter((one) => one !== NONE && !marks.some((mark) => mark.criterion === one))
    .map((criterion): LimitRow => ({
      criterion,
      words: plainId(criterion),
      said: true,
      verdict: undefined,
      remark: 'the standard does not ask for it here now',
    }));
  const broke = rows.some((row) => row.verdict === 'not_met');
  const limitsWords = named.includes(NONE)
    ? broke
      ? 'None, you said.'
      : 'None broke, you said, and the recording says the same.'
    : named.length === 0
      ? 'You left open which limit broke.'
      : '';
  return { limits: [...rows, ...gone], limitsWords };
}

function limitRemark(said: boolean, verdict: Verdict): string {
  if (verdict === 'not_met') return said ? 'you named it, and it broke' : 'it broke; you did not name it';
  if (verdict === 'too_close') return 'too close to tell';
  return 'you named it, but it held';
}

function causesOf(maneuver: Maneuver, said: readonly Said[]): CauseRow[] {
  const named = choices(said, WHY);
  const rows = named.map((id): CauseRow => {
    const finding = maneuver.findings.find((one) => one.id === id);
    return {
      words: causeWords(id, maneuver.kind),
      said: true,
      shown: finding?.headline ?? '',
      remark: finding
        ? 'the recording shows it too'
        : canBeShown(id)
          ? 'the recording does not show it'
          : 'no recording can tell',
    };
  });
  // What leads the sheet and was not said: at most two, as on the sheet.
  const more = maneuver.findings.slice(0, 2).filter((one) => !named.includes(one.id));
  return [
    ...rows,
    ...more.map((finding): CauseRow => ({
      words: causeWords(finding.id, maneuver.kind),
      said: false,
      shown: finding.headline,
      remark: 'the recording shows it; you did not name it',
    })),
  ];
}
