// What came in and what did not, in one list. Pure.
import type { RecordingBrief, Refused } from '../shared/api/types';

export type Arrival =
  | { what: 'recording'; key: string; at_utc: string; recording: RecordingBrief }
  | { what: 'refused'; key: string; at_utc: string; refused: Refused };

/** Newest first. */
export function merged(recordings: readonly RecordingBrief[], refused: readonly Refused[]): Arrival[] {
  const all: Arrival[] = [
    ...recordings.map((recording): Arrival => ({
      what: 'recording',
      key: recording.sha256,
      at_utc: recording.received_utc,
      recording,
    })),
    ...refused.map((each): Arrival => ({
      what: 'refused',
      key: `${each.at_utc} ${each.name}`,
      at_utc: each.at_utc,
      refused: each,
    })),
  ];
  return all.sort((a, b) => (a.at_utc < b.at_utc ? 1 : a.at_utc > b.at_utc ? -1 : 0));
}
