// When the picture in space is drawn: only when someone asked, once a frame, and coarser while it turns on a machine
// that is too slow for it; the sharp picture follows as soon as the eye stands still.

import type { Orbit } from './orbit';

/** What draws. */
export interface Drawer {
  resize: (width: number, height: number, ratio: number) => void;
  draw: (orbit: Orbit) => void;
}

/** Longer than this between two pictures looks like jumping, ms: then they get coarser. */
const SLOW_MS = 34;
/** Two pictures this far apart are no movement, ms. */
const PAUSE_MS = 900;
/** After so long without a new place of the eye, it stands still, ms. */
const STILL_MS = 180;
const COARSEST = 0.35;

/** The ratio for the next picture of a movement, from the time since the one before. */
export function coarser(ratio: number, full: number, elapsed_ms: number): number {
  if (elapsed_ms > PAUSE_MS) return ratio;
  // The cost goes with the area: half the time needs √½ of the width.
  if (elapsed_ms > SLOW_MS) return Math.max(ratio * Math.max(Math.sqrt(SLOW_MS / elapsed_ms), 0.5), COARSEST);
  return elapsed_ms < SLOW_MS / 2 ? Math.min(ratio * 1.06, full) : ratio;
}

export class Picture {
  readonly #drawer: Drawer;
  readonly #drawn: () => void;
  #orbit: Orbit | undefined;
  #size = { width: 0, height: 0 };
  #full = 1;
  /** Ratio of the canvas now, and the one that movements have found to be quick enough. */
  #ratio = 0;
  #moving = 1;
  #frame = 0;
  /** Ratio of the picture that is due; undefined = as quick as a movement needs. */
  #wish: number | undefined;
  #still: ReturnType<typeof setTimeout> | undefined;
  #last_ms = 0;

  constructor(drawer: Drawer, drawn: () => void) {
    this.#drawer = drawer;
    this.#drawn = drawn;
  }

  resize(width: number, height: number, ratio: number): void {
    this.#size = { width, height };
    this.#full = ratio;
    // A movement begins sharp and gets as coarse as it must.
    this.#moving = ratio;
    this.#ratio = 0;
  }

  /** The eye moved, or what it sees changed. */
  ask(orbit: Orbit): void {
    const moves = this.#orbit !== undefined && this.#orbit !== orbit;
    this.#orbit = orbit;
    clearTimeout(this.#still);
    this.#still = setTimeout(() => {
      if (this.#ratio !== this.#full) this.#request(this.#full);
    }, STILL_MS);
    this.#request(moves ? undefined : this.#full);
  }

  destroy(): void {
    cancelAnimationFrame(this.#frame);
    clearTimeout(this.#still);
  }

  #request(ratio: number | undefined): void {
    // What was asked for last counts: a sharp picture that is due while a coarse one waits replaces it.
    this.#wish = ratio;
    if (this.#frame !== 0) return;
    this.#frame = requestAnimationFrame((now_ms) => {
      this.#frame = 0;
      if (!this.#orbit || this.#size.width === 0) return;
      const wish = this.#wish;
      if (wish === undefined) this.#moving = coarser(this.#moving, this.#full, now_ms - this.#last_ms);
      this.#last_ms = now_ms;
      this.#sharpen(wish ?? this.#moving);
      const start = performance.now();
      this.#drawer.draw(this.#orbit);
      performance.measure('proofwing path picture', { start, end: performance.now() });
      this.#drawn();
    });
  }

  /** A new size of the canvas costs more than a picture: only when it pays. */
  #sharpen(ratio: number): void {
    const little = ratio !== this.#full && Math.abs(ratio / this.#ratio - 1) < 0.15;
    if (little) return;
    this.#ratio = ratio;
    this.#drawer.resize(this.#size.width, this.#size.height, ratio);
  }
}
