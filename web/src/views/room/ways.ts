// The way a maneuver goes, in words.

const WORDS: Readonly<Record<string, string>> = {
  straight: 'straight ahead',
  left_right: 'left, then right',
  right_left: 'right, then left',
  none: 'no way of its own',
};

export function wayWords(id: string): string {
  return WORDS[id] ?? id.replaceAll('_', ' ');
}
