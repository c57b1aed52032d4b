// How wide words are in the page's label type, so that a figure can keep them apart before it is drawn.

const FAMILY = '"Source Sans 3", system-ui, sans-serif';

class TextWidths {
  /** Rises when the fonts have come: what was laid out with the fallback is laid out anew. */
  #fonts = $state(0);
  #context: CanvasRenderingContext2D | null = null;
  readonly #known = new Map<string, number>();

  constructor() {
    void document.fonts.ready.then(() => {
      this.#known.clear();
      this.#fonts += 1;
    });
    // Fonts load when first used, which may be after `ready`.
    document.fonts.addEventListener('loadingdone', () => {
      this.#known.clear();
      this.#fonts += 1;
    });
  }

  /** Width in px. */
  readonly of = (words: string, size: number, bold = false): number => {
    void this.#fonts;
    const key = `${bold ? 'b' : 'n'}${String(size)} ${words}`;
    let width = this.#known.get(key);
    if (width === undefined) {
      this.#context ??= document.createElement('canvas').getContext('2d');
      if (this.#context) {
        this.#context.font = `${bold ? '600' : '400'} ${String(size)}px ${FAMILY}`;
        width = this.#context.measureText(words).width;
      } else width = words.length * size * 0.5;
      this.#known.set(key, width);
    }
    return width;
  };
}

export const textWidths = new TextWidths();
