// Light or dark: as the system has it, or as this browser's reader chose.

export type Theme = 'system' | 'light' | 'dark';

const STORED = 'proofwing-theme';

function stored(): Theme {
  try {
    const value = localStorage.getItem(STORED);
    return value === 'light' || value === 'dark' ? value : 'system';
  } catch {
    return 'system'; // Storage may be forbidden; the system's choice then.
  }
}

class ThemeChoice {
  #choice: Theme = $state(stored());

  constructor() {
    this.#apply();
  }

  get choice(): Theme {
    return this.#choice;
  }

  set choice(theme: Theme) {
    this.#choice = theme;
    try {
      if (theme === 'system') localStorage.removeItem(STORED);
      else localStorage.setItem(STORED, theme);
    } catch {
      // It holds until the page is closed.
    }
    this.#apply();
  }

  #apply(): void {
    if (this.#choice === 'system') delete document.documentElement.dataset['theme'];
    else document.documentElement.dataset['theme'] = this.#choice;
  }
}

export const theme = new ThemeChoice();
