// Invented series for tests, written byte by byte as docs/exports.md lays them out.

export interface FixtureColumn {
  readonly id: string;
  readonly unit?: string;
  readonly origin?: string;
  readonly sigma?: number;
  readonly values: ArrayLike<number>;
}

/** `PWS1` bytes with these columns. */
export function seriesBytes(columns: readonly FixtureColumn[], step_s = 0.1, more: object = {}): ArrayBuffer {
  const len = columns[0]?.values.length ?? 0;
  const described = columns.map((column, i) => ({
    id: column.id,
    title: column.id,
    unit: column.unit ?? '1',
    origin: column.origin ?? 'measured',
    offset: i * len * 4,
    sigma: column.sigma ?? null,
    sigma_varies: false,
    low: null,
    high: null,
  }));
  let text = JSON.stringify({ step_s, len, start_utc: null, columns: described, ...more });
  while ((text.length + 8) % 8 !== 0) text += ' ';
  const head = new TextEncoder().encode(text);
  const buffer = new ArrayBuffer(8 + head.length + columns.length * len * 4);
  const view = new DataView(buffer);
  new Uint8Array(buffer).set(new TextEncoder().encode('PWS1'), 0);
  view.setUint32(4, head.length, true);
  new Uint8Array(buffer).set(head, 8);
  columns.forEach((column, c) => {
    for (let i = 0; i < len; i += 1) {
      view.setFloat32(8 + head.length + (c * len + i) * 4, column.values[i] ?? NaN, true);
    }
  });
  return buffer;
}
