// Lines and columns of a text that a person writes.

export function lineCount(text: string): number {
  return text.split('\n').length;
}

/** Where a 1-based line and column (in characters, as the server counts) lies in the text, in UTF-16 code units. */
export function offsetOf(text: string, line: number, column: number): number {
  const lines = text.split('\n');
  const at = Math.min(Math.max(line, 1), lines.length) - 1;
  const before = lines.slice(0, at).reduce((sum, each) => sum + each.length + 1, 0);
  const within = [...(lines[at] ?? '')].slice(0, Math.max(column - 1, 0)).join('').length;
  return before + within;
}
