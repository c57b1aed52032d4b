// What the block of numbers beside the sheet shows of one moment: value with unit, σ and origin.

import { decimals, number, withSigma, withUnit } from '../shared/format';
import type { Column, Series } from './series';

export interface Readout {
  readonly id: string;
  readonly name: string;
  /** Value with its unit, at the resolution of the display. */
  readonly words: string;
  /** With σ and where it comes from, for the line below and for reading aloud. */
  readonly more: string;
}

interface Row {
  readonly id: string;
  readonly name: string;
  /** Columns in order of preference. */
  readonly columns: readonly string[];
  readonly say: (value: number, column: Column) => string;
}

function plainly(value: number, column: Column): string {
  const unit = column.header.unit === '1' ? '' : column.header.unit;
  return withUnit(value, unit === 'g' ? 1 : 0, unit);
}

function sided(right: string, left: string, zero: string): Row['say'] {
  return (value, column) => {
    const unit = column.header.unit;
    const size = Math.abs(value);
    return size < 0.5 ? zero : `${withUnit(size, 0, unit)} ${value > 0 ? right : left}`;
  };
}

const ROWS: readonly Row[] = [
  { id: 'height', name: 'height', columns: ['altitude_ft', 'height_ft'], say: plainly },
  { id: 'airspeed', name: 'airspeed', columns: ['ias_kt', 'tas_kt', 'ground_speed_kt'], say: plainly },
  { id: 'pitch', name: 'pitch', columns: ['pitch_deg'], say: plainly },
  { id: 'bank', name: 'bank', columns: ['bank_deg'], say: sided('right', 'left', 'level') },
  { id: 'load', name: 'load', columns: ['load_g'], say: plainly },
  {
    id: 'margin',
    name: 'above stall',
    columns: ['stall_margin_percent'],
    say: (value) => (value > 100 ? 'over 100\u00a0%' : withUnit(value, 0, '%')),
  },
  { id: 'rudder', name: 'rudder', columns: ['rudder_percent'], say: sided('right', 'left', 'centered') },
  { id: 'ball', name: 'ball', columns: ['lateral_g'], say: (value) => withUnit(value, 2, 'g') },
  { id: 'power', name: 'power', columns: ['rpm', 'power_percent', 'throttle_percent'], say: plainly },
  { id: 'flaps', name: 'flaps', columns: ['flap_deg'], say: plainly },
  {
    id: 'heading',
    name: 'heading',
    columns: ['heading_deg', 'track_deg'],
    say: (value) => `${String(Math.round(((value % 360) + 360) % 360) % 360).padStart(3, '0')}°`,
  },
];

/** Names where the column is not the first choice, so that nobody reads a ground speed as an airspeed. */
const OTHER: Record<string, string> = {
  tas_kt: 'true airspeed',
  ground_speed_kt: 'ground speed',
  throttle_percent: 'throttle',
  height_ft: 'height, GNSS',
  track_deg: 'track, true',
};

/** The readouts that this flight can have, at a time. */
export function readouts(series: Series, t: number): Readout[] {
  return ROWS.flatMap((row) => {
    const column = row.columns.map((id) => series.column(id)).find((one) => one !== undefined);
    if (!column) return [];
    return [readout(row, column, series.at(column.header.id, t))];
  });
}

function readout(row: Row, column: Column, value: number): Readout {
  const { header } = column;
  const name = OTHER[header.id] ?? row.name;
  if (row.id === 'flaps' && header.origin !== 'measured') {
    return inferred(row, name, value, header.sigma);
  }
  const known = Number.isFinite(value);
  const unit = header.unit === '1' ? '' : header.unit;
  const sigma =
    header.sigma === null
      ? ''
      : `, σ ${number(header.sigma, Math.max(decimals(header.sigma, unit), 1))} ${unit}`;
  return {
    id: row.id,
    name,
    words: known ? row.say(value, column) : '—',
    more: known ? `${withSigma(value, null, unit)}${sigma}, ${header.origin}` : 'not known at this moment',
  };
}

/** Inferred flaps say so: an angle that nobody recorded is no reading. */
function inferred(row: Row, name: string, value: number, _sigma: number | null): Readout {
  const known = Number.isFinite(value);
  return {
    id: row.id,
    name,
    words: known ? `${withUnit(value, 0, 'deg')}?` : '—',
    more: known
      ? `perhaps ${withUnit(value, 0, 'deg')}: inferred from lift and drag, not recorded`
      : 'cannot be told at this moment',
  };
}

/** One sentence for who listens: `14:07:32, height 3,328 ft, airspeed 47 kt, …`. */
export function spoken(clock: string, all: readonly Readout[]): string {
  return [
    clock,
    ...all.filter(({ words }) => words !== '—').map(({ name, words }) => `${name} ${words}`),
  ].join(', ');
}
