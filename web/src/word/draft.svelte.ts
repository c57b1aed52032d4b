// A draft that the page holds while somebody writes, kept over a reload.

import { dropDraft, readDraft, windowShelf, writeDraft } from './drafts';

export class Draft<T> {
  readonly #name: string;
  #now: T = $state.raw() as T;

  /** @param first - What stands there while nothing was begun. */
  constructor(name: string, first: T) {
    this.#name = name;
    this.#now = readDraft<T>(windowShelf(), name) ?? first;
  }

  get now(): T {
    return this.#now;
  }

  set now(value: T) {
    this.#now = value;
    writeDraft(windowShelf(), this.#name, value);
  }

  /** It was sent, or given up: nothing of it stays. */
  drop(then: T): void {
    this.#now = then;
    dropDraft(windowShelf(), this.#name);
  }
}
