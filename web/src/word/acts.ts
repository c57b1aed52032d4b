// The history of a lesson in words: every act as a sentence that begins with who did it.

import type { Act, Asked, Correction, Entry, ManeuverRef, Setting, SignedBrief } from '../shared/api/types';
import { count, number, shortDigest } from '../shared/format';
import { verdictWord } from '../shared/verdict';
import { elementShort, plainId } from '../flight/names';

/** Names for the ids that acts carry; what is not known has none. */
export interface Names {
  person(id: string): string | undefined;
  aircraft(id: string): string | undefined;
  standard(id: string): string | undefined;
  /** `Steep turn, left, 14:31`. */
  maneuver(ref: ManeuverRef): string;
  /** `14:31:05`. */
  clock(at_s: number): string;
}

/** One line of the history. */
export interface Line {
  readonly key: string;
  readonly at_utc: string;
  readonly who: string;
  /** What they did: follows the name. */
  readonly what: string;
  /** What they wrote, in full. */
  readonly text: string;
  /** A moment of the flight that it speaks of, s. */
  readonly at_s: number | undefined;
}

/** Acts and signatures, newest first. */
export function historyOf(entries: readonly Entry[], signed: readonly SignedBrief[], names: Names): Line[] {
  const acts = entries.map((entry): Line => ({
    key: `e${String(entry.seq)}`,
    at_utc: entry.at_utc,
    who: entry.by.name,
    at_s: entry.act.kind === 'note' ? entry.act.at_s : undefined,
    ...actWords(entry.act, names),
  }));
  const signatures = signed.map((one): Line => ({
    key: `s${String(one.version)}`,
    at_utc: one.at_utc,
    who: one.by.name,
    what: `signed version ${String(one.version)}, digest ${shortDigest(one.sha256)}…`,
    text: '',
    at_s: undefined,
  }));
  return [...acts, ...signatures]
    .map((line, index) => ({ line, index }))
    .sort((a, b) => b.line.at_utc.localeCompare(a.line.at_utc) || b.index - a.index)
    .map(({ line }) => line);
}

/** What an act did, in words. */
export function actWords(act: Act, names: Names): { what: string; text: string } {
  const said = (what: string, text = ''): { what: string; text: string } => ({ what, text });
  switch (act.kind) {
    case 'setting':
      return said(`set ${settingWords(act, names)}`);
    case 'briefed':
      return said(briefedWords(act.briefed.maneuver ?? [], act.briefed.recovery));
    case 'corrections':
      return said(correctionWords(act.corrections, names));
    case 'mark':
      return said(
        `marked ${markName(act.element, act.criterion)} ${verdictWord(act.verdict)}, ${names.maneuver(act.maneuver)}`,
        act.reason,
      );
    case 'confirm':
      return said(
        act.element === ''
          ? `confirmed every mark that the recording decides, ${names.maneuver(act.maneuver)}`
          : `confirmed ${markName(act.element, act.criterion)}, ${names.maneuver(act.maneuver)}`,
      );
    case 'unmark':
      return said(
        act.element === ''
          ? `took back every word on ${names.maneuver(act.maneuver)}`
          : `took back the word on ${markName(act.element, act.criterion)}, ${names.maneuver(act.maneuver)}`,
      );
    case 'note':
      return said(`pinned a note to ${names.clock(act.at_s)}`, act.text);
    case 'unnote':
      return said('took a note back');
    case 'summary':
      return act.text === '' && act.next === ''
        ? said('took the summary back')
        : said(
            'wrote the summary',
            [act.text, act.next && `Next time: ${act.next}`].filter(Boolean).join('\n'),
          );
    case 'answer':
      return said(`said first what happened, ${names.maneuver(act.maneuver)}`);
    case 'reply':
      return said('replied', act.text);
    case 'acknowledge':
      return said(`read and acknowledged version ${String(act.version)}, digest ${shortDigest(act.sha256)}…`);
  }
}

/** `heading (S6)`. */
function markName(element: string, criterion: string): string {
  const name = plainId(criterion || element);
  return element && criterion ? `${name} (${elementShort(element)})` : name;
}

function settingWords(set: Setting, names: Names): string {
  const named = (id: string, find: (id: string) => string | undefined, nothing: string, other: string) =>
    id === '' ? nothing : (find(id) ?? other);
  const parts: string[] = [];
  if (set.student_id != null)
    parts.push(`the student to ${named(set.student_id, names.person, 'nobody', 'another person')}`);
  if (set.instructor_id != null)
    parts.push(`the instructor to ${named(set.instructor_id, names.person, 'nobody', 'another person')}`);
  if (set.aircraft_id != null)
    parts.push(`the aircraft to ${named(set.aircraft_id, names.aircraft, 'none', 'another aircraft')}`);
  if (set.standard != null) parts.push(`the standard to ${names.standard(set.standard) ?? set.standard}`);
  if (set.terrain_ft === null) parts.push('the elevation below back to the school’s');
  else if (set.terrain_ft !== undefined)
    parts.push(`the elevation below to ${number(set.terrain_ft)}\u00a0ft above sea level`);
  if (set.title != null)
    parts.push(set.title === '' ? 'the title back to the program’s' : `the title to “${set.title}”`);
  if (set.demonstration != null)
    parts.push(set.demonstration ? 'the lesson as a demonstration' : 'the lesson as no demonstration');
  return parts.join('; ') || 'nothing';
}

function briefedWords(asked: readonly Asked[], recovery: string | null | undefined): string {
  const parts: string[] = [];
  if (recovery) parts.push(`recovery at the ${plainId(recovery)}`);
  if (asked.length > 0)
    parts.push(`something asked for on ${count(asked.length, 'maneuver or kind', 'maneuvers or kinds')}`);
  return parts.length > 0 ? `said what was briefed: ${parts.join('; ')}` : 'took back all that was briefed';
}

function correctionWords(list: readonly Correction[], names: Names): string {
  if (list.length === 0) return 'took every correction of the maneuvers back';
  const last = list.at(-1);
  const many = list.length > 1 ? `, ${count(list.length, 'correction')} in all` : '';
  if (last?.do === 'remove') return `said that there was no ${names.maneuver(last.was)}${many}`;
  return last ? `set ${names.maneuver(last)} by hand${many}` : '';
}
