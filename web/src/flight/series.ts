// The flight as the page reads it: the binary `PWS1` (docs/exports.md), whose columns are looked at where they lie.

import { Pyramid } from './pyramid';

export type Origin = 'measured' | 'derived' | 'assumed';

export interface ColumnHeader {
  /** Name with the unit last, e.g. `ias_kt`. */
  readonly id: string;
  readonly title: string;
  /** Unit of the values and of σ; `1` for plain numbers. */
  readonly unit: string;
  readonly origin: Origin;
  /** Bytes from the end of the header. */
  readonly offset: number;
  /** 1-σ, or the median of a varying one. */
  readonly sigma: number | null;
  readonly sigma_varies: boolean;
  readonly low: number | null;
  readonly high: number | null;
}

export interface FlapDetent {
  readonly angle_deg: number;
  readonly limit_kt: number | null;
  readonly stall_kt: number | null;
}

export interface FlapStep {
  readonly at_s: number | null;
  readonly sigma_s: number | null;
  readonly from_deg: number | null;
  readonly to_deg: number | null;
  readonly probability: number | null;
  readonly origin: Origin;
}

export interface SeriesHeader {
  readonly step_s: number;
  readonly len: number;
  readonly start_utc: string | null;
  readonly origin: { readonly latitude_deg: number; readonly longitude_deg: number } | null;
  readonly variation_deg: number | null;
  readonly fit: string;
  readonly air: string;
  readonly aircraft: string;
  readonly flap_detents: readonly FlapDetent[];
  readonly columns: readonly ColumnHeader[];
  readonly flap_steps: readonly FlapStep[];
  readonly gaps: readonly (readonly [number, number])[];
}

/** What is wrong with the bytes, and how to mend it. */
export class SeriesError extends Error {
  override readonly name = 'SeriesError';
}

const MAGIC = 'PWS1';
const ASK_AGAIN = 'load the page again; if it stays, have the lesson re-marked';

/** One quantity over the flight. */
export class Column {
  readonly header: ColumnHeader;
  /** One value a sample, NaN where unknown. */
  readonly values: Float32Array;
  #pyramid: Pyramid | undefined;

  constructor(header: ColumnHeader, values: Float32Array) {
    this.header = header;
    this.values = values;
  }

  /** Minima and maxima on every scale; made when first asked for. */
  get pyramid(): Pyramid {
    this.#pyramid ??= new Pyramid(this.values);
    return this.#pyramid;
  }
}

/** The whole flight: one even time base, columns by name. */
export class Series {
  readonly header: SeriesHeader;
  readonly #columns: ReadonlyMap<string, Column>;

  constructor(header: SeriesHeader, columns: readonly Column[]) {
    this.header = header;
    this.#columns = new Map(columns.map((column) => [column.header.id, column]));
  }

  get len(): number {
    return this.header.len;
  }

  get step_s(): number {
    return this.header.step_s;
  }

  /** Time of the last sample, s. */
  get end_s(): number {
    return Math.max(this.len - 1, 0) * this.step_s;
  }

  /** A quantity, or nothing where the recorder could not support it. */
  column(id: string): Column | undefined {
    return this.#columns.get(id);
  }

  get columns(): Column[] {
    return [...this.#columns.values()];
  }

  /** Nearest sample to a time, clamped. */
  index(t: number): number {
    if (!(t > 0)) return 0;
    return Math.min(Math.round(t / this.step_s), Math.max(this.len - 1, 0));
  }

  time(index: number): number {
    return index * this.step_s;
  }

  /** Value at a time, linear between samples; NaN in a hole. */
  at(id: string, t: number): number {
    const values = this.column(id)?.values;
    if (!values || !(t >= 0)) return NaN;
    const place = Math.min(t / this.step_s, this.len - 1);
    const index = Math.floor(place);
    const share = place - index;
    const here = values[index] ?? NaN;
    return share < 1e-6 ? here : here + share * ((values[index + 1] ?? NaN) - here);
  }

  /** Least and greatest of a quantity between two times, with their times. */
  extremes(id: string, from_s: number, to_s: number): Extreme | undefined {
    const values = this.column(id)?.values;
    if (!values) return undefined;
    let low = NaN;
    let high = NaN;
    let lowAt = 0;
    let highAt = 0;
    const last = this.index(to_s);
    for (let i = this.index(from_s); i <= last; i += 1) {
      const value = values[i] ?? NaN;
      if (value !== value) continue;
      if (!(value >= low)) {
        low = value;
        lowAt = i;
      }
      if (!(value <= high)) {
        high = value;
        highAt = i;
      }
    }
    return low === low ? { low, low_s: this.time(lowAt), high, high_s: this.time(highAt) } : undefined;
  }
}

export interface Extreme {
  readonly low: number;
  readonly low_s: number;
  readonly high: number;
  readonly high_s: number;
}

/**
 * Reads `PWS1` bytes. Columns are views of the buffer, nothing is copied.
 *
 * @throws {SeriesError} for bytes that are none, damaged, or cut short.
 */
export function readSeries(buffer: ArrayBuffer): Series {
  const bytes = new Uint8Array(buffer);
  if (new TextDecoder('latin1').decode(bytes.subarray(0, 4)) !== MAGIC || bytes.length < 8) {
    throw new SeriesError(`The flight's series do not begin with ${MAGIC}: ${ASK_AGAIN}.`);
  }
  const length = new DataView(buffer).getUint32(4, true);
  if (8 + length > bytes.length) {
    throw new SeriesError(`The header of the flight's series ends too early: ${ASK_AGAIN}.`);
  }
  const header = parseHeader(new TextDecoder().decode(bytes.subarray(8, 8 + length)));
  const start = 8 + length;
  const columns = header.columns.map((column) => {
    const from = start + column.offset;
    if (!(column.offset >= 0) || from + 4 * header.len > bytes.length) {
      throw new SeriesError(`Column ${column.id} of the flight's series ends too early: ${ASK_AGAIN}.`);
    }
    // The header is padded so that columns lie on a multiple of 4; a writer that forgot costs a copy, not the page.
    const values =
      from % 4 === 0
        ? new Float32Array(buffer, from, header.len)
        : new Float32Array(buffer.slice(from, from + 4 * header.len));
    return new Column(column, values);
  });
  return new Series(header, columns);
}

function parseHeader(text: string): SeriesHeader {
  let header: unknown;
  try {
    header = JSON.parse(text);
  } catch {
    throw new SeriesError(`The header of the flight's series cannot be read: ${ASK_AGAIN}.`);
  }
  const { step_s, len, columns } = header as Partial<SeriesHeader>;
  const sound = typeof step_s === 'number' && step_s > 0 && Number.isInteger(len) && (len ?? -1) >= 0;
  if (!sound || !Array.isArray(columns)) {
    throw new SeriesError(`The header of the flight's series lacks its time base or columns: ${ASK_AGAIN}.`);
  }
  const whole = header as SeriesHeader;
  return {
    ...whole,
    flap_detents: (whole.flap_detents as FlapDetent[] | undefined) ?? [],
    flap_steps: (whole.flap_steps as FlapStep[] | undefined) ?? [],
    gaps: (whole.gaps as [number, number][] | undefined) ?? [],
  };
}
