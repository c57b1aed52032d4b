// What somebody began to write and did not send yet. It survives a reload of the page, in this window only; what was
// kept by the server is dropped from here.

/** As much of `Storage` as drafts need. */
export type Shelf = Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>;

const PREFIX = 'proofwing-draft:';

/** The draft under a name, or nothing; a draft that does not read is no draft. */
export function readDraft<T>(shelf: Shelf | undefined, name: string): T | undefined {
  try {
    const text = shelf?.getItem(PREFIX + name);
    return text === null || text === undefined ? undefined : (JSON.parse(text) as T);
  } catch {
    return undefined;
  }
}

/** Keeps a draft; a value that says nothing takes it away. */
export function writeDraft(shelf: Shelf | undefined, name: string, value: unknown): void {
  try {
    if (saysNothing(value)) shelf?.removeItem(PREFIX + name);
    else shelf?.setItem(PREFIX + name, JSON.stringify(value));
  } catch {
    // Full or forbidden: what was typed still stands on the page.
  }
}

export function dropDraft(shelf: Shelf | undefined, name: string): void {
  writeDraft(shelf, name, undefined);
}

function saysNothing(value: unknown): boolean {
  if (value === undefined || value === null || value === '') return true;
  if (typeof value === 'object') return Object.values(value).every(saysNothing);
  return false;
}

/** This window's own store, where the browser has one. */
export function windowShelf(): Shelf | undefined {
  try {
    return window.sessionStorage;
  } catch {
    return undefined;
  }
}
