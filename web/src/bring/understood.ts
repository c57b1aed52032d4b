// What was understood of a file, in sentences. Pure: the numbers are the server's.
import type { ReadColumn, ReadNote, Reading, RecordingBrief } from '../shared/api/types';
import { clock, count, date, duration, number } from '../shared/format';
import { channelWords, unitWritten } from './channels';

/** Below this the server asks a person to look (docs/recordings.md). */
export const SURE = 0.6;

/** A group of channels that decides what the debrief can tell. */
const CARRIES: readonly { words: string; any: readonly string[] }[] = [
  { words: 'position', any: ['latitude'] },
  { words: 'air data', any: ['airspeed_indicated', 'airspeed_calibrated', 'airspeed_true'] },
  { words: 'attitude', any: ['pitch', 'bank'] },
  { words: 'load factor', any: ['load_normal'] },
  { words: 'engine', any: ['engine_speed', 'manifold_pressure', 'power_share', 'throttle', 'fuel_flow'] },
  { words: 'flaps', any: ['flap'] },
  { words: 'angle of attack', any: ['angle_of_attack'] },
  { words: 'controls', any: ['elevator', 'aileron', 'rudder'] },
  { words: 'stall warning', any: ['stall_warning'] },
];

/** What kind of recorder wrote it: what it carries, and what it does not. */
export function carries(reading: Reading): { has: string[]; lacks: string[] } {
  const used = new Set(reading.columns.filter((column) => column.chosen).map((column) => column.taken_for));
  const has: string[] = [];
  const lacks: string[] = [];
  for (const group of CARRIES) (group.any.some((id) => used.has(id)) ? has : lacks).push(group.words);
  return { has, lacks };
}

/** `position, air data and attitude`. */
export function listed(words: readonly string[], last = 'and'): string {
  if (words.length < 2) return words[0] ?? '';
  return `${words.slice(0, -1).join(', ')} ${last} ${words.at(-1) ?? ''}`;
}

/** `Table, packed with gzip`. */
export function formatWords(reading: Reading): string {
  const what = reading.format === 'table' ? 'Table' : reading.format;
  if (reading.container === '' || reading.container === 'plain') return what;
  const packed = /^zip \(member (.*)\)$/.exec(reading.container);
  return packed ? `${what}, ${packed[1] ?? ''} in a zip` : `${what}, packed with ${reading.container}`;
}

/** `13,460 rows, one every 0.1 s`. */
export function rowsWords(reading: Reading): string {
  const rows = `${number(reading.rows_kept)} rows`;
  const every = intervalWords(reading.time.interval_s);
  return every === '' ? rows : `${rows}, ${every}`;
}

function intervalWords(seconds: number): string {
  if (!Number.isFinite(seconds) || seconds <= 0) return '';
  const rate = 1 / seconds;
  if (rate > 1.5) return `${number(rate, Number.isInteger(Math.round(rate * 10) / 10) ? 0 : 1)} a second`;
  return `one every ${number(seconds, Math.abs(seconds - Math.round(seconds)) < 0.05 ? 0 : 1)}\u00a0s`;
}

/** `4 September 2025, 14:04:43–14:27:09 UTC, 22 min`. */
export function spanWords(reading: Reading): string {
  const { start_utc, length_s } = reading.time;
  const start = Date.parse(start_utc);
  if (Number.isNaN(start)) return `${duration(length_s)}; the file does not tell the date`;
  const end = new Date(start + length_s * 1000).toISOString();
  return `${date(start_utc)}, ${clock(start_utc, true)}–${clock(end, true)}\u00a0UTC, ${duration(length_s)}`;
}

/** Holes and rows left out, or nothing. */
export function lossWords(reading: Reading): string {
  const said: string[] = [];
  if (reading.rows_lost > 0) said.push(`${count(reading.rows_lost, 'row')} left out`);
  if (reading.gaps.length > 0) {
    const longest = Math.max(...reading.gaps.map(([from, to]) => to - from));
    said.push(
      `${count(reading.gaps.length, 'hole')}, ${reading.gaps.length > 1 ? 'the longest ' : ''}${duration(longest)}`,
    );
  }
  return said.join('; ');
}

/** `line 4182, column 3`; nothing for the file as a whole. */
export function placeWords(note: Pick<ReadNote, 'line' | 'column'>): string {
  const parts: string[] = [];
  if (note.line > 0) parts.push(`line ${number(note.line)}`);
  if (note.column > 0) parts.push(`column ${number(note.column)}`);
  return parts.join(', ');
}

/** Nothing could be made of the file: the bytes are kept, and no table was found in them. */
export function wasUnread(reading: Reading): boolean {
  return reading.rows_kept === 0 && reading.columns.length === 0;
}

/** It may be read when somebody says which column is the time; the server names that way out itself. */
export function mayHaveTime(reading: Reading): boolean {
  return wasUnread(reading) && reading.notes.some((note) => note.done.includes('which column is the time'));
}

/** Columns in the file's order with what they are used for: the used ones, or all. */
export function usedColumns(reading: Reading): ReadColumn[] {
  return reading.columns.filter((column) => column.chosen || column.taken_for === 'time');
}

/** A column that a person should look at. */
export function isUnsure(column: ReadColumn): boolean {
  return column.chosen && column.confidence < SURE && column.taken_for !== 'other';
}

/** `indicated airspeed, kt`. */
export function columnWords(column: ReadColumn): string {
  const unit = column.unit === '' ? '' : `, ${unitWritten(column.unit)}`;
  return channelWords(column.taken_for) + (column.taken_for === 'time' ? '' : unit);
}

/** `38.2 to 121 kt`: the values that stand in the column. */
export function rangeWords(column: ReadColumn): string {
  if (column.low === null || column.high === null) return '';
  const unit = column.unit === '' ? '' : `\u00a0${unitWritten(column.unit)}`;
  const text = (value: number) => number(value, places(column.high ?? 0, column.low ?? 0));
  if (column.low === column.high) return `always ${text(column.low)}${unit}`;
  return `${text(column.low)} to ${text(column.high)}${unit}`;
}

/** Decimals that tell the ends of a range apart: a position needs more than an altitude. */
function places(high: number, low: number): number {
  const span = Math.abs(high - low);
  if (span === 0) return Number.isInteger(high) ? 0 : 2;
  return Math.min(Math.max(1 - Math.floor(Math.log10(span)), 0), 6);
}

/** How it came, in words. */
export function viaWords(recording: Pick<RecordingBrief, 'via'>): string {
  switch (recording.via) {
    case 'page':
      return 'on this page';
    case 'command':
      return 'by command';
    case 'folder':
      return 'from the watched folder';
    default:
      return recording.via;
  }
}

/** `All 28 columns used`, `13 of 19 columns used`. */
export function usedWords(used: number, all: number): string {
  return used === all ? `All ${number(all)} columns used` : `${number(used)} of ${number(all)} columns used`;
}
