// What came in and what did not, in one list.
import { request } from '../shared/api/http';
import type { RecordingBrief } from '../shared/api/types';

/** A file of the watched folder that was not brought in. */
export interface Refused {
  /** File name. */
  name: string;
  /** Size. */
  bytes: number;
  /** Why, in words. */
  why: string;
  /** It is tried again by itself. */
  tried_again: boolean;
  /** When it was told. */
  at_utc: string;
  /** In whose name the folder is watched. */
  by_name: string;
}

/** Files of the watched folder that were refused, newest first. */
export const refusedFiles = (signal: AbortSignal) =>
  request<Refused[]>('GET', '/recordings/refused', undefined, { signal });

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
