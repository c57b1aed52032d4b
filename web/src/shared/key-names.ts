// Which key was pressed, and what it is called on the sheet of keys. Pure, so that it is tested without a browser.

/** The parts of a keyboard event that matter. */
export interface Press {
  key: string;
  shiftKey: boolean;
  ctrlKey: boolean;
  metaKey: boolean;
  altKey: boolean;
}

/**
 * The id of a press: `ArrowLeft`, `Shift+ArrowLeft`, `a`, `?`. null for what belongs to the browser (with Ctrl,
 * Alt or Command) and for dead keys.
 */
export function keyId(press: Press): string | null {
  if (press.ctrlKey || press.metaKey || press.altKey) return null;
  if (press.key.length === 1) return press.key === ' ' ? 'Space' : press.key.toLowerCase();
  if (press.key === 'Dead' || press.key === 'Unidentified' || press.key === 'Process') return null;
  return press.shiftKey ? `Shift+${press.key}` : press.key;
}

const names: Record<string, string> = {
  ArrowLeft: '←',
  ArrowRight: '→',
  ArrowUp: '↑',
  ArrowDown: '↓',
  Escape: 'Esc',
  Space: 'Space',
};

/** What the sheet of keys writes: `Shift ←`, `A`, `,`. */
export function keyName(id: string): string {
  // The plus key itself is no combination.
  return (id === '+' ? [id] : id.split('+'))
    .map((part) => names[part] ?? (part.length === 1 ? part.toUpperCase() : part))
    .join(' ');
}
