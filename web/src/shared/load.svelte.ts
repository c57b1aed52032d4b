// Data of a page: loading, here, failed, or here but stale while a refresh fails. Keeps the last good data.
import { isAbort } from './api/http';

export class Load<T> {
  /** The last good data. */
  data: T | undefined = $state.raw(undefined);
  /** Why the last try failed. */
  error: unknown = $state.raw(null);
  /** A request is under way. */
  busy = $state(true);
  #turn = $state(0);
  #waiting: (() => void)[] = [];

  constructor(fetchData: (signal: AbortSignal) => Promise<T>) {
    // Runs again when what fetchData reads before its first await changes, or on reload().
    $effect(() => {
      void this.#turn;
      const stop = new AbortController();
      void this.#run(fetchData(stop.signal), stop.signal);
      return () => {
        stop.abort();
      };
    });
  }

  /** Asks again; the promise ends when the answer is here (or failed). */
  reload = (): Promise<void> => {
    this.#turn += 1;
    return new Promise((done) => this.#waiting.push(done));
  };

  /** Puts in data that came another way, e.g. as the answer to a change. */
  put(data: T): void {
    this.data = data;
    this.error = null;
  }

  async #run(promise: Promise<T>, signal: AbortSignal): Promise<void> {
    this.busy = true;
    try {
      const data = await promise;
      if (signal.aborted) return;
      this.data = data;
      this.error = null;
    } catch (error) {
      if (signal.aborted || isAbort(error)) return;
      this.error = error;
    }
    this.busy = false;
    for (const done of this.#waiting.splice(0)) done();
  }
}

/** Loads in a component's script: `const lessons = load((signal) => api.lessons({}, { signal }))`. */
export function load<T>(fetchData: (signal: AbortSignal) => Promise<T>): Load<T> {
  return new Load(fetchData);
}
