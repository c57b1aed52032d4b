// What stands at the head of the page beside the program's name: the sections, or one line about what is shown.

export interface Head {
  /** e.g. `Flight of 4 September 2025, 14:04–14:27 UTC, trainer A`. */
  line: string;
  /** Keys worth knowing here, as words: `[{ words: 'Ask first', key: 'A' }]`. */
  keys?: { words: string; key: string; run: () => void }[];
}

class HeadState {
  /** null = the list of sections. */
  now: Head | null = $state.raw(null);
}

export const head = new HeadState();

/** While the component lives, the head shows one line instead of the sections. Call in its script. */
export function setHead(say: () => Head): void {
  $effect.pre(() => {
    head.now = say();
    return () => {
      head.now = null;
    };
  });
}
