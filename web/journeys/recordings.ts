// Recordings to bring in, made from the repository's own: as they are, without a time, with names that say nothing.
import { readFile } from 'node:fs/promises';
import { gunzipSync, gzipSync } from 'node:zlib';
import { demoLesson } from './program';

export interface Upload {
  name: string;
  mimeType: string;
  buffer: Buffer;
}

const upload = (name: string, buffer: Buffer): Upload => ({
  name,
  mimeType: 'application/octet-stream',
  buffer,
});

interface Table {
  above: string[];
  names: string[];
  rows: string[][];
}

async function table(): Promise<Table> {
  const lines = gunzipSync(await readFile(demoLesson))
    .toString()
    .trimEnd()
    .split('\n');
  const at = lines.findIndex((line) => !line.startsWith('#'));
  const cells = (line: string) => line.split(',');
  return { above: lines.slice(0, at), names: cells(lines[at] ?? ''), rows: lines.slice(at + 1).map(cells) };
}

function text({ above, names, rows }: Table): Buffer {
  return Buffer.from([...above, names.join(','), ...rows.map((row) => row.join(','))].join('\n') + '\n');
}

/** The demo lesson as its recorder wrote it. */
export async function asWritten(name = 'lesson.csv.gz'): Promise<Upload> {
  return upload(name, await readFile(demoLesson));
}

/** Another flight of the same recorder: begun some days later, so that it is no twin. */
export async function daysLater(days: number, name: string): Promise<Upload> {
  const made = await table();
  const later = (stamp: string) => new Date(Date.parse(stamp) + days * 86_400_000).toISOString();
  made.above = made.above.filter((line) => !line.startsWith('# Start'));
  for (const row of made.rows) row[0] = later(row[0] ?? '');
  return upload(name, gzipSync(text(made)));
}

/** Names that say nothing, and only what a tablet would carry: the numbers alone must tell, so a person is asked. */
export async function withoutNames(name: string): Promise<Upload> {
  const made = await table();
  const keep = ['time', 'lat', 'lon', 'alt_indicated', 'airspeed_ind', 'att_roll'];
  const at = keep.map((word) => made.names.findIndex((each) => each.startsWith(`${word} `)));
  const later = (stamp: string | undefined) =>
    new Date(Date.parse(stamp ?? '') + 3 * 86_400_000).toISOString();
  return upload(
    name,
    text({
      above: [],
      names: ['UTC', ...keep.slice(1).map((_, index) => `value ${String(index + 1)}`)],
      rows: made.rows
        .filter((_, index) => index % 10 === 0)
        .map((row) => at.map((column, index) => (index === 0 ? later(row[column]) : (row[column] ?? '')))),
    }),
  );
}

/** Seconds since switching on under a name that no clock has, among columns that run like it. */
export async function withoutTime(name: string): Promise<Upload> {
  const made = await table();
  const keep = ['lat', 'lon', 'alt_indicated', 'airspeed_ind', 'att_roll', 'att_pitch'];
  const at = keep.map((word) => made.names.findIndex((each) => each.startsWith(`${word} `)));
  return upload(
    name,
    text({ above: [], names: keep, rows: made.rows.map((row) => at.map((column) => row[column] ?? '')) }),
  );
}

/** A shopping list. */
export const noRecording = upload(
  'notes.txt',
  Buffer.from('Ask about the radio.\nFuel before the next lesson.\n'),
);
