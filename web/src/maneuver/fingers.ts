// The pointers that are down, and where.

export class Fingers {
  readonly #down = new Map<number, number>();

  get count(): number {
    return this.#down.size;
  }

  has(id: number): boolean {
    return this.#down.has(id);
  }

  put(id: number, x: number): void {
    this.#down.set(id, x);
  }

  at(id: number): number | undefined {
    return this.#down.get(id);
  }

  /** Where the other one of two is. */
  other(id: number): number | undefined {
    return [...this.#down].find(([one]) => one !== id)?.[1];
  }

  lift(id: number): boolean {
    return this.#down.delete(id);
  }
}
