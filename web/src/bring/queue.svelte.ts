// Files on their way to the server: a few at once, the rest waiting. A file stays here until the server has it or has
// said why not: an expired session, a busy server or a lost network only make it wait. Lives beside the pages, so that
// going to another page and back stops nothing.
import { ApiError, isAbort } from '../shared/api/http';
import type { Imported } from '../shared/api/types';
import { refusedAtOnce } from './files';

/** Files sent at once: one is on its way while another is being read. */
export const AT_ONCE = 3;
/** A busy server is asked again so often, each time after a longer pause. */
const TRIES = 6;
const PAUSE_MS = 1500;

export type Stage =
  /** Waits for its turn. */
  | 'waiting'
  /** Its bytes are on their way. */
  | 'sending'
  /** The server has all bytes and reads them. */
  | 'reading'
  /** The server has it. */
  | 'here'
  /** The server does not take it, or not yet: see `error`. */
  | 'refused'
  /** Taken back by the person. */
  | 'stopped';

/** What sends a file: the API, or a stand-in in a test. */
export type Send = (
  file: File,
  options: { signal: AbortSignal; onProgress: (share: number) => void },
) => Promise<Imported>;

export class Item {
  stage: Stage = $state('waiting');
  /** How much of it was sent, 0 to 1. */
  share = $state(0);
  error: unknown = $state.raw(null);
  imported: Imported | null = $state.raw(null);
  tries = 0;
  stop = new AbortController();

  constructor(
    readonly number: number,
    readonly file: File,
    /** Who brings it in: another person who signs in here does not send it. */
    readonly owner: string,
  ) {}

  /** Not with the server yet, and it shall be. */
  get pending(): boolean {
    return this.stage === 'waiting' || this.stage === 'sending' || this.stage === 'reading';
  }

  /** Another try may work: nothing is wrong with the file. */
  get mayTryAgain(): boolean {
    if (this.stage === 'stopped') return true;
    return this.stage === 'refused' && (!(this.error instanceof ApiError) || isPassing(this.error));
  }
}

export class Queue {
  /** In the order in which they were dropped. */
  items: readonly Item[] = $state.raw([]);
  /** Nobody is signed in: nothing is sent until somebody is. */
  held = $state(false);
  #owner: string | null = null;
  #count = 0;
  readonly #send: Send;
  readonly #wait: (ms: number) => Promise<void>;
  /** Asks whether the session still holds, after a connection broke. */
  readonly #signedIn: () => Promise<boolean>;
  /** Called when the server has another one. */
  arrived: (imported: Imported) => void = () => undefined;

  constructor(
    send: Send,
    signedIn: () => Promise<boolean>,
    wait = (ms: number) => new Promise<void>((done) => setTimeout(done, ms)),
  ) {
    this.#send = send;
    this.#signedIn = signedIn;
    this.#wait = wait;
  }

  /** Those of a person. */
  of(owner: string | undefined): Item[] {
    return this.items.filter((item) => item.owner === owner);
  }

  /** Somebody is signed in (again): what waits is sent. Nobody is: it waits. */
  signedIn(owner: string | null): void {
    this.#owner = owner;
    this.held = owner === null;
    this.#next();
  }

  add(files: readonly File[], owner: string): Item[] {
    const added = files.map((file) => new Item((this.#count += 1), file, owner));
    for (const item of added) {
      const why = refusedAtOnce(item.file);
      if (why === null) continue;
      item.stage = 'refused';
      item.error = new ApiError(422, 'invalid', why.message, why.hint, 'file');
    }
    this.items = [...this.items, ...added];
    this.#next();
    return added;
  }

  /** Takes a file back; what the server has is not taken back. */
  stop(item: Item): void {
    if (!item.pending) return;
    item.stage = 'stopped';
    item.stop.abort();
    this.#next();
  }

  again(item: Item): void {
    if (!item.mayTryAgain) return;
    item.error = null;
    item.tries = 0;
    this.#back(item);
    this.#next();
  }

  /** Takes what is settled off the list; nothing that still waits. */
  clear(): void {
    this.items = this.items.filter((item) => item.pending);
  }

  #back(item: Item): void {
    item.stage = 'waiting';
    item.share = 0;
    item.stop = new AbortController();
  }

  #next(): void {
    if (this.held || this.#owner === null) return;
    const mine = this.of(this.#owner);
    let free = AT_ONCE - mine.filter((item) => item.stage === 'sending' || item.stage === 'reading').length;
    for (const item of mine) {
      if (free <= 0) return;
      if (item.stage !== 'waiting') continue;
      free -= 1;
      item.stage = 'sending';
      void this.#run(item);
    }
  }

  async #run(item: Item): Promise<void> {
    const { signal } = item.stop;
    try {
      const imported = await this.#send(item.file, {
        signal,
        onProgress: (share) => {
          item.share = share;
          if (share >= 1 && item.stage === 'sending') item.stage = 'reading';
        },
      });
      item.imported = imported;
      item.stage = 'here';
      this.arrived(imported);
    } catch (error) {
      // Taken back meanwhile: it says so already.
      if (!signal.aborted && !isAbort(error)) await this.#failed(item, error);
    }
    this.#next();
  }

  async #failed(item: Item, error: unknown): Promise<void> {
    if (isSignedOut(error) || (isNoAnswer(error) && !(await this.#stillSignedIn()))) {
      this.held = true;
      this.#back(item);
      return;
    }
    if (isBusy(error) && item.tries < TRIES) {
      item.tries += 1;
      await this.#wait(PAUSE_MS * item.tries);
      // Stopped, or taken up again, during the pause.
      if (item.stage === 'sending' || item.stage === 'reading') this.#back(item);
      return;
    }
    item.error = error;
    item.stage = 'refused';
  }

  /** A server that refuses a request may close the connection while bytes still come: the answer is lost then. */
  async #stillSignedIn(): Promise<boolean> {
    try {
      return await this.#signedIn();
    } catch {
      return true; // No network: the file says so itself.
    }
  }
}

function isSignedOut(error: unknown): boolean {
  return error instanceof ApiError && error.status === 401;
}

function isNoAnswer(error: unknown): boolean {
  return error instanceof ApiError && error.status === 0;
}

function isBusy(error: unknown): boolean {
  return error instanceof ApiError && (error.status === 503 || error.status === 429);
}

/** Nothing is wrong with the file: no answer, too slow, busy, a mistake of the server. */
function isPassing(error: ApiError): boolean {
  return error.status === 0 || error.status === 408 || error.status === 429 || error.status >= 500;
}
