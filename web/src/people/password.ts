// What can be said of a new password before it is sent. The server decides.

/** As the server asks for (it also refuses well-known ones). */
export const SHORTEST = 12;

export interface Trouble {
  at: 'first' | 'second';
  words: string;
}

/** What keeps two typings of a new password from being sent; null = nothing. */
export function passwordTrouble(first: string, second: string): Trouble | null {
  const length = [...first].length;
  if (length < SHORTEST) {
    return { at: 'first', words: `It has ${String(length)} characters; ${String(SHORTEST)} are needed.` };
  }
  if (first !== second) return { at: 'second', words: 'The two are not the same.' };
  return null;
}
