// The beginning of a recording: out of the file that was just dropped, else as the server keeps it.
import { apiAddress } from '../shared/api/http';
import { headText } from './head';

/** Enough for the first rows of a packed file; the rest is not fetched. */
const FETCH = 128 * 1024;

/** Null when there is nothing to show: a look at the file is a help, never needed. */
export async function headOf(sha256: string, file?: Blob): Promise<string | null> {
  try {
    const bytes = file === undefined ? await fetched(sha256) : await file.slice(0, FETCH * 2).arrayBuffer();
    return await headText(bytes);
  } catch {
    return null;
  }
}

async function fetched(sha256: string): Promise<ArrayBuffer> {
  const stop = new AbortController();
  const response = await fetch(apiAddress(`/recordings/${encodeURIComponent(sha256)}/original`), {
    credentials: 'same-origin',
    signal: stop.signal,
  });
  if (!response.ok || response.body === null) return new ArrayBuffer(0);
  const reader = response.body.getReader();
  const parts: Uint8Array<ArrayBuffer>[] = [];
  let size = 0;
  while (size < FETCH) {
    const { done, value } = await reader.read();
    if (done) break;
    parts.push(value);
    size += value.length;
  }
  await reader.cancel();
  return new Blob(parts).arrayBuffer();
}
