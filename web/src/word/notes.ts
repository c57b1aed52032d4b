// Notes pinned to moments.

/** `a`, `b`, … `z`, `aa`, …: the name of a note on traces and in the list, in order of time. */
export function letter(index: number): string {
  const last = String.fromCharCode(97 + (index % 26));
  return index < 26 ? last : letter(Math.floor(index / 26) - 1) + last;
}
