// Which paper this browser prints on: asked once, kept here.

export type Size = 'letter' | 'a4';
const KEY = 'proofwing-paper';

class Paper {
  #choice: Size = $state(read());

  get choice(): Size {
    return this.#choice;
  }

  set choice(size: Size) {
    this.#choice = size;
    try {
      localStorage.setItem(KEY, size);
    } catch {
      // Nothing can be kept in this browser; the choice holds while the page is open.
    }
  }
}

function read(): Size {
  try {
    return localStorage.getItem(KEY) === 'a4' ? 'a4' : 'letter';
  } catch {
    return 'letter';
  }
}

export const paper = new Paper();
