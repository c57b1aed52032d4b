// How a file's columns are to be read, as a person corrects it: from the server's reading to the list of corrections
// that goes back. Pure.
import type { MapColumn, ReadColumn, Reading } from '../shared/api/types';
import { unitsOf, unitWritten } from './channels';
import { isUnsure, SURE } from './understood';

/** One column as the person has it now. */
export interface Choice {
  column: ReadColumn;
  /** Channel id, `time` or `ignore`. */
  channel: string;
  /** As people write it; empty = as the file says, or by the numbers. */
  unit: string;
}

/** Words that the server gives for a column that a kept map decides. */
const BY_MAP = 'given by the map';

/** Whether a person decided this column before. */
export function byMap(column: ReadColumn): boolean {
  return column.because === BY_MAP;
}

/** What the reader has, as choices: a column that it does not use is ignored. */
export function choicesOf(reading: Reading): Choice[] {
  return reading.columns.map((column) => ({ column, ...asRead(column) }));
}

function asRead(column: ReadColumn): { channel: string; unit: string } {
  const used = column.taken_for === 'time' || unitsOf(column.taken_for).length > 0;
  const known = used || column.taken_for === 'fix_quality';
  return {
    channel: known ? column.taken_for : 'ignore',
    unit: known && column.taken_for !== 'time' ? unitWritten(column.unit) : '',
  };
}

/** Whether a person changed this column. */
export function isChanged(choice: Choice): boolean {
  const read = asRead(choice.column);
  return choice.channel !== read.channel || choice.unit !== read.unit;
}

/**
 * The corrections to send: what was changed, and what an earlier map decided (a new list takes the old one's place).
 * None = it is right as the reader has it.
 */
export function entriesOf(choices: readonly Choice[], reading: Pick<Reading, 'map'>): MapColumn[] {
  // With a map in force the reading does not tell which columns it leaves out: what is not used now stays so.
  const left = (choice: Choice) => reading.map !== null && choice.column.taken_for === 'other';
  return choices
    .filter((choice) => isChanged(choice) || byMap(choice.column) || left(choice))
    .map((choice) => ({
      channel: choice.channel,
      column: nameOf(choice.column, choices),
      unit: choice.unit === '' || choice.channel === 'ignore' ? null : choice.unit,
    }));
}

/** By name, as the trail will tell it; by number where the name is not the column's alone. */
function nameOf(column: ReadColumn, all: readonly Choice[]): string {
  const name = column.name.trim();
  const same = all.filter((each) => each.column.name.trim().toLowerCase() === name.toLowerCase());
  return name === '' || name.startsWith('#') || same.length > 1 ? `#${String(column.number)}` : name;
}

/** What cannot stand: said before it is sent. */
export function contradictions(choices: readonly Choice[]): string[] {
  const said: string[] = [];
  const times = choices.filter((choice) => choice.channel === 'time' && isChanged(choice));
  if (times.length > 1)
    said.push('Only one column can be set as the time; a date beside it is found by itself.');
  if (!choices.some((choice) => choice.channel === 'time'))
    said.push('No column is the time now; a recording needs one.');
  return said;
}

/** The columns to look at first: the unsure ones, and the time when that is unsure. */
export function toLookAt(reading: Reading): Set<number> {
  const time = reading.time.confidence < SURE;
  return new Set(
    reading.columns
      .filter((column) => isUnsure(column) || (time && column.taken_for === 'time'))
      .map((column) => column.number),
  );
}

/** A name to begin with: the map's own, else the file's without its endings and date. */
export function proposedName(reading: Reading, fileName: string): string {
  if (reading.map !== null && reading.map !== '') return reading.map;
  const stem = fileName.replace(/(\.[a-z0-9]{1,5}){1,2}$/i, '');
  const plain = stem
    .replace(/[\d_-]{4,}/g, ' ')
    .replace(/\s+/g, ' ')
    .trim();
  return (plain === '' ? stem : plain).slice(0, 80);
}
