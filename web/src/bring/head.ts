// The first lines of a file, as a person would see them in an editor: to check columns against, nothing is computed
// from them.

/** So much of a file is looked at, bytes. */
const LOOK = 256 * 1024;
/** Values shown of a column. */
const VALUES = 3;

/** Text of the file's beginning; null when it is no text, or packed in a way a browser does not unpack. */
export async function headText(bytes: ArrayBuffer): Promise<string | null> {
  const first = new Uint8Array(bytes);
  if (first[0] === 0x1f && first[1] === 0x8b) return unpacked(bytes);
  if (first[0] === 0x50 && first[1] === 0x4b) return null; // A zip.
  return decoded(first.subarray(0, LOOK));
}

async function unpacked(bytes: ArrayBuffer): Promise<string | null> {
  const reader = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('gzip')).getReader();
  const parts: Uint8Array[] = [];
  let size = 0;
  try {
    while (size < LOOK) {
      const { done, value } = await reader.read();
      if (done) break;
      parts.push(value);
      size += value.length;
    }
  } catch {
    // Cut short or damaged: what came out of it is shown.
  }
  void reader.cancel().catch(() => undefined);
  const all = new Uint8Array(size);
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return size === 0 ? null : decoded(all);
}

function decoded(bytes: Uint8Array): string | null {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return new TextDecoder('utf-16le').decode(bytes);
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return new TextDecoder('utf-16be').decode(bytes);
  if (bytes.includes(0)) return null;
  try {
    // The end may be in the middle of a letter.
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes, { stream: true });
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}

/** The first lines, long ones cut. */
export function firstLines(text: string, lines = 8, letters = 160): string[] {
  return text
    .split(/\r\n|\n|\r/, lines)
    .map((line) => (line.length > letters ? `${line.slice(0, letters)} …` : line))
    .filter((line, index, all) => line !== '' || index < all.length - 1);
}

/**
 * Some values of each column as they stand in the file, by the column's number; empty when the lines do not show the
 * columns for certain. Names must fit cell by cell, so that no value is ever shown beside another column's name.
 */
export function samples(
  text: string,
  columns: readonly { number: number; name: string }[],
): Map<number, string[]> {
  const found = new Map<number, string[]>();
  const lines = text.split(/\r\n|\n|\r/);
  lines.pop(); // The last may be cut.
  const names = columns.map((column) => plain(column.name));
  if (names.length < 2) return found;
  for (const mark of [',', ';', '\t', '|']) {
    const head = lines.findIndex((line) => fits(cells(line, mark), names));
    if (head < 0) continue;
    const rows = lines
      .slice(head + 1)
      .map((line) => cells(line, mark))
      .filter((row) => row.length === names.length && row.some((cell) => /^[-+]?\d/.test(cell)));
    for (const [index, column] of columns.entries()) {
      const values = rows.map((row) => row[index] ?? '').filter((cell) => cell !== '');
      found.set(column.number, spread([...new Set(values)]));
    }
    return found;
  }
  return found;
}

/** First, middle and last: neighbors are mostly alike. */
function spread(values: readonly string[]): string[] {
  if (values.length <= VALUES) return [...values];
  return [0, 0.5, 1].map((share) => values[Math.round((values.length - 1) * share)] ?? '');
}

function cells(line: string, mark: string): string[] {
  return line.split(mark).map((cell) =>
    cell
      .trim()
      .replace(/^"(.*)"$/, '$1')
      .trim(),
  );
}

/** The reader gives names without their unit or with it, as the file has them. */
function fits(row: readonly string[], names: readonly string[]): boolean {
  if (row.length < names.length) return false;
  return names.every((name, index) => {
    const cell = plain(row[index] ?? '');
    return cell === name || (name !== '' && cell.startsWith(name));
  });
}

function plain(text: string): string {
  return text
    .replace(/^[#\uFEFF\s]+/, '')
    .trim()
    .toLowerCase();
}
