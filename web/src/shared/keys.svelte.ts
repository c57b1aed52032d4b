// The one key map. A component says which keys it serves while it lives; `?` opens the sheet of all that are
// served now. Keys never fire while someone types, nor behind an open dialog.
import { untrack } from 'svelte';
import { keyId } from './key-names';

export interface KeyAction {
  /** One id or several that do the same: `['ArrowLeft', 'ArrowRight']` share a line on the sheet. */
  keys: string | readonly string[];
  /** What it does, as the sheet says it: "cursor by 0.1 s". */
  words: string;
  /** Heading on the sheet, e.g. `Time`. */
  group?: string;
  run: (key: string, event: KeyboardEvent) => void;
  /** Fires on buttons and links too where the key means something there (Space); default no. */
  always?: boolean;
}

class Keys {
  /** Newest last; the newest that serves a key gets it. */
  #actions: readonly KeyAction[] = $state.raw([]);
  /** Whether the sheet of keys is open. */
  sheetOpen = $state(false);

  get actions(): readonly KeyAction[] {
    return this.#actions;
  }

  add(actions: readonly KeyAction[]): () => void {
    this.#actions = [...this.#actions, ...actions];
    return () => {
      this.#actions = this.#actions.filter((action) => !actions.includes(action));
    };
  }

  /** Listens on the window; gives the function that stops it. */
  listen(): () => void {
    const down = (event: KeyboardEvent) => {
      this.#press(event);
    };
    window.addEventListener('keydown', down);
    return () => {
      window.removeEventListener('keydown', down);
    };
  }

  #press(event: KeyboardEvent): void {
    const id = keyId(event);
    if (id === null || event.defaultPrevented || event.isComposing || takesKeys(event.target, id)) return;
    if (document.querySelector('dialog[open]') !== null) return;
    if (id === '?') {
      event.preventDefault();
      this.sheetOpen = true;
      return;
    }
    const action = this.#actions.findLast((each) =>
      typeof each.keys === 'string' ? each.keys === id : each.keys.includes(id),
    );
    if (action === undefined || (!action.always && isPressed(event.target, id))) return;
    event.preventDefault();
    action.run(id, event);
  }
}

/** A place where this key writes or chooses. */
function takesKeys(target: EventTarget | null, id: string): boolean {
  if (!(target instanceof HTMLElement)) return false;
  if (
    target.isContentEditable ||
    target instanceof HTMLTextAreaElement ||
    target instanceof HTMLSelectElement
  )
    return true;
  if (target instanceof HTMLInputElement) {
    if (['checkbox', 'button', 'submit', 'file'].includes(target.type)) return id === 'Space';
    return true;
  }
  return false;
}

/** A button, link or summary that Space or Enter presses. */
function isPressed(target: EventTarget | null, id: string): boolean {
  if (id !== 'Space' && id !== 'Enter') return false;
  return target instanceof Element && target.closest('a,button,summary,input') !== null;
}

export const keys = new Keys();

/** Serves keys while the component lives. Call in its script: `useKeys([{ keys: 'a', words: 'ask first', run }])`. */
export function useKeys(actions: readonly KeyAction[]): void {
  // Adding reads the list that it changes: tracked, the effect would run for ever.
  $effect.pre(() => untrack(() => keys.add(actions)));
}
