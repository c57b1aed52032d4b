// What remains to be done on a lesson, for the one who looks: said at the top of the page, in the order of the work.

import { openOf } from '../../marks/open';
import type { LessonView } from '../../shared/api/types';
import { count } from '../../shared/format';
import { isDecided, isOpen } from '../../marks/giving';
import { GivenMarks } from '../../flight/given-marks';

export interface Step {
  readonly id: 'header' | 'judge' | 'confirm' | 'again' | 'summary' | 'sign' | 'read';
  /** e.g. `Yours to judge`. */
  readonly what: string;
  /** How it stands: `three of eight not given yet`. */
  readonly how: string;
  readonly done: boolean;
  /** Somebody else's to do, or nobody's: told, not asked. */
  readonly told?: boolean;
  /** Where on the page it is, where that is not its usual place. */
  readonly at?: string;
  /** Nothing can be signed before it is done. */
  readonly needed: boolean;
}

const GUESSES: Record<string, string> = {
  student: 'student',
  instructor: 'instructor',
  aircraft: 'aircraft',
};

/** `student and aircraft`. */
export function inWords(fields: readonly string[]): string {
  const names = fields.map((field) => GUESSES[field] ?? field.replaceAll('_', ' '));
  if (names.length < 2) return names[0] ?? '';
  return `${names.slice(0, -1).join(', ')} and ${names.at(-1) ?? ''}`;
}

/** Steps of the one who judges. */
export function steps(view: LessonView, unkept: boolean): Step[] {
  const open = openOf(view);
  const given = new GivenMarks(view.word.marks);
  const placed = view.debrief.maneuvers
    .filter((one) => one.marked)
    .flatMap((maneuver) => maneuver.marks.map((mark) => ({ maneuver, mark })));
  const yours = placed.filter(({ mark }) => isOpen(mark));
  const decided = placed.filter(({ mark }) => isDecided(mark) || mark.mark === 'too_close');
  const silent = decided.filter(({ maneuver, mark }) => !given.of(maneuver.number, mark));
  const last = view.signed.at(-1);
  const list: Step[] = [
    {
      id: 'header',
      what: 'Who and in what',
      how: open.guessed.length
        ? `${inWords(open.guessed)} guessed, nobody has confirmed it`
        : open.nobody
          ? 'no student is named, and it is no demonstration'
          : 'confirmed',
      done: open.guessed.length === 0 && !open.nobody,
      needed: true,
    },
  ];
  if (yours.length > 0)
    list.push({
      id: 'judge',
      what: 'Yours to judge',
      how: open.ungiven.length
        ? `${String(open.ungiven.length)} of ${String(yours.length)} still unsaid`
        : `all ${String(yours.length)} given`,
      done: open.ungiven.length === 0,
      needed: false,
    });
  if (decided.length > 0)
    list.push({
      id: 'confirm',
      what: 'Marks by the recording',
      how: silent.length
        ? `${String(silent.length)} of ${String(decided.length)} stand as the program says, not confirmed`
        : `all ${String(decided.length)} confirmed or changed`,
      done: silent.length === 0,
      needed: false,
    });
  const again = open.overtaken.length + open.homeless.length;
  if (again > 0)
    list.push({
      id: 'again',
      what: 'To look at again',
      how: `${count(again, 'word')} of yours, for what they speak of was marked anew since`,
      done: false,
      needed: false,
    });
  list.push({
    id: 'summary',
    what: 'Summary and what next',
    how: unkept ? 'begun, not kept yet' : view.word.summary ? 'written' : 'not written yet',
    done: !unkept && view.word.summary !== null,
    needed: false,
  });
  const changed = view.changes_since_signing.length;
  list.push({
    id: 'sign',
    what: last ? 'Signature' : 'Sign',
    how: !last
      ? 'not signed yet'
      : changed > 0
        ? `${count(changed, 'thing')} changed since version ${String(last.version)} was signed`
        : `version ${String(last.version)} signed, nothing changed since`,
    done: last !== undefined && changed === 0,
    needed: false,
  });
  return list;
}

/**
 * Steps of the one who reads: the student has one thing to do, others none. `own`: may see what was signed and what
 * is different since.
 */
export function readerSteps(view: LessonView, own: boolean): Step[] {
  const last = view.signed.at(-1);
  const list: Step[] = [];
  if (!last)
    return [
      {
        id: 'read',
        what: 'Not signed yet',
        how: 'what stands here can still change',
        done: true,
        told: true,
        needed: false,
      },
    ];
  const version = `version ${String(last.version)}, signed by ${last.by.name}`;
  if (view.can.reply)
    list.push({
      id: 'read',
      what: last.acknowledged_utc ? 'Read' : 'To read and acknowledge',
      how: last.acknowledged_utc ? `${version}, acknowledged` : version,
      done: last.acknowledged_utc !== null,
      needed: false,
    });
  else
    list.push({
      id: 'read',
      what: 'Signed',
      how: `${version}${last.acknowledged_utc ? ', acknowledged by the student' : ''}`,
      done: true,
      needed: false,
    });
  if (view.changes_since_signing.length > 0)
    list.push({
      id: 'again',
      what: 'Being changed',
      how: `${count(view.changes_since_signing.length, 'thing')} changed since, not signed yet`,
      ...(own ? { at: '#since' } : {}),
      done: true,
      told: true,
      needed: false,
    });
  return list;
}
