// One live region for the whole page: what changed without the focus moving there is said here, once, politely.

class Announcer {
  /** What the live region says now. */
  said = $state('');
  #odd = false;

  say(words: string): void {
    // The same words twice are said twice: a no-break space at the end makes them differ.
    this.#odd = !this.#odd;
    this.said = this.#odd ? words : `${words}\u00a0`;
  }
}

export const announcer = new Announcer();

/** Says a sentence to those who listen to the page. */
export function announce(words: string): void {
  announcer.say(words);
}
