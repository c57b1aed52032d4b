// What is laid over each other: one panel a quantity, both maneuvers on one scale.

import type { Maneuver } from '../flight/document';
import { thin, type Point } from '../flight/runs';
import { nice, padded, type Range, type ValueTick } from '../flight/scale';
import type { Series } from '../flight/series';
import { withUnit } from '../shared/format';

/** One of the two. */
export interface Flown {
  readonly maneuver: Maneuver;
  readonly series: Series;
  /** The moment by which it is aligned, s of its flight. */
  readonly zero_s: number;
}

/** What runs along the axis: seconds from the moment, or degrees turned since it. */
export type Across = 'time' | 'turn';

interface Quantity {
  readonly id: string;
  readonly name: string;
  readonly second: string;
  /** Columns in order of preference. */
  readonly columns: readonly string[];
  /** Shown as the difference from the value at the moment. */
  readonly relative?: boolean;
  readonly height: number;
  /** Least span of the scale. */
  readonly span: number;
  readonly decimals?: number;
  readonly unit: string;
  /** Right against left: turned over where one goes left and the other right. */
  readonly sided?: boolean;
}

const QUANTITIES: readonly Quantity[] = [
  {
    id: 'height',
    name: 'Height',
    second: 'ft',
    columns: ['altitude_ft', 'height_ft'],
    relative: true,
    height: 104,
    span: 120,
    unit: 'ft',
  },
  {
    id: 'speed',
    name: 'Airspeed',
    second: 'kt, indicated',
    columns: ['ias_kt', 'tas_kt', 'ground_speed_kt'],
    height: 72,
    span: 20,
    unit: 'kt',
  },
  {
    id: 'margin',
    name: 'Stall margin',
    second: '% of stall speed',
    columns: ['stall_margin_percent'],
    height: 56,
    span: 30,
    unit: '%',
  },
  {
    id: 'pitch',
    name: 'Pitch',
    second: 'degrees',
    columns: ['pitch_deg'],
    height: 64,
    span: 12,
    unit: 'deg',
  },
  {
    id: 'aoa',
    name: 'Angle of attack',
    second: 'degrees',
    columns: ['aoa_deg'],
    height: 56,
    span: 10,
    unit: 'deg',
  },
  {
    id: 'bank',
    name: 'Bank',
    second: 'degrees, right up',
    sided: true,
    columns: ['bank_deg'],
    height: 64,
    span: 12,
    unit: 'deg',
  },
  {
    id: 'heading',
    name: 'Heading',
    second: 'degrees right',
    sided: true,
    columns: ['heading_deg', 'track_deg'],
    relative: true,
    height: 56,
    span: 12,
    unit: 'deg',
  },
  {
    id: 'ball',
    name: 'Ball',
    second: 'g, right up',
    sided: true,
    columns: ['lateral_g'],
    height: 44,
    span: 0.1,
    decimals: 2,
    unit: 'g',
  },
  {
    id: 'load',
    name: 'Load',
    second: 'g',
    columns: ['load_g'],
    height: 48,
    span: 0.5,
    decimals: 1,
    unit: 'g',
  },
  { id: 'power', name: 'Power', second: 'rpm', columns: ['rpm'], height: 48, span: 500, unit: 'rpm' },
  { id: 'flaps', name: 'Flaps', second: 'degrees', columns: ['flap_deg'], height: 36, span: 10, unit: 'deg' },
];

/** Values of one maneuver along the axis; `undefined` where this recorder did not have it. */
export interface Line {
  readonly x: Float64Array;
  readonly y: Float64Array;
}

export interface PairPanel {
  readonly id: string;
  readonly name: string;
  readonly second: string;
  readonly height: number;
  readonly scale: Range;
  readonly ticks: readonly ValueTick[];
  readonly a: Line | undefined;
  readonly b: Line | undefined;
  readonly say: (value: number) => string;
  /** Value of one at a time of its flight. */
  readonly at: (one: Flown, t: number) => number;
}

/** The panels that at least one of the two can fill. */
export function pairPanels(a: Flown, b: Flown, across: Across, from: number, to: number): PairPanel[] {
  const over = mirrored(a, b);
  return QUANTITIES.flatMap((quantity): PairPanel[] => {
    // Turned against turned says nothing.
    if (across === 'turn' && quantity.id === 'heading') return [];
    const lines = [lineOf(a, quantity, across, over), lineOf(b, quantity, across, over)] as const;
    const range = rangeOf(lines, from, to);
    if (!range) return [];
    const scale = padded(...range, quantity.span);
    return [
      {
        id: quantity.id,
        name: quantity.name,
        second: secondOf(quantity, a, b),
        height: quantity.height,
        scale,
        ticks: nice(scale, quantity.height > 60 ? 4 : 2),
        a: lines[0],
        b: lines[1],
        say: (value) =>
          Number.isFinite(value)
            ? `${quantity.relative && value > 0.5 ? '+' : ''}${withUnit(value, quantity.decimals ?? 0, quantity.unit)}`
            : '—',
        at: (one, t) => signOf(one, quantity, over) * valueAt(one, quantity, t),
      },
    ];
  });
}

function columnOf({ series }: Flown, quantity: Quantity): string | undefined {
  return quantity.columns.find((id) => series.column(id));
}

/** Unit and origin; where the two have different sources, both are named. */
function secondOf(quantity: Quantity, a: Flown, b: Flown): string {
  const from = [a, b].map((one) => columnOf(one, quantity));
  const names: Record<string, string> = {
    tas_kt: 'true airspeed',
    ground_speed_kt: 'ground speed',
    track_deg: 'track',
    height_ft: 'GNSS',
  };
  const odd = [...new Set(from.map((id) => (id && names[id]) ?? '').filter((name) => name !== ''))];
  const unit = quantity.second.replace(/,? right(?: up)?$/, '');
  const second = mirrored(a, b) && quantity.sided ? `${unit} into the turn` : quantity.second;
  return odd.length === 0 ? second : `${second}; ${odd.join(', ')}`;
}

function baseOf(one: Flown, quantity: Quantity, id: string): number {
  return quantity.relative ? one.series.at(id, one.zero_s) : 0;
}

/** Which way a maneuver turns: −1 left, 1 right, 0 neither. */
export function side(one: Flown): -1 | 0 | 1 {
  const { direction } = one.maneuver;
  if (direction === 'left') return -1;
  return direction === 'right' ? 1 : 0;
}

/** Whether one turns left and the other right: sides are then told as into and out of the turn. */
export function mirrored(a: Flown, b: Flown): boolean {
  return side(a) * side(b) === -1;
}

function signOf(one: Flown, quantity: Quantity, turnedOver: boolean): number {
  return turnedOver && quantity.sided && side(one) < 0 ? -1 : 1;
}

function valueAt(one: Flown, quantity: Quantity, t: number): number {
  const id = columnOf(one, quantity);
  if (!id || t < 0 || t > one.series.end_s) return NaN;
  return one.series.at(id, t) - baseOf(one, quantity, id);
}

/** Where a time of the flight stands on the axis. */
export function acrossAt(one: Flown, t: number, across: Across): number {
  if (across === 'time') return t - one.zero_s;
  const id = one.series.column('heading_deg') ? 'heading_deg' : 'track_deg';
  const turned = one.series.at(id, t) - one.series.at(id, one.zero_s);
  return one.maneuver.direction.startsWith('left') ? -turned : turned;
}

function lineOf(one: Flown, quantity: Quantity, across: Across, turnedOver: boolean): Line | undefined {
  const id = columnOf(one, quantity);
  const values = id === undefined ? undefined : one.series.column(id)?.values;
  if (!id || !values) return undefined;
  const base = baseOf(one, quantity, id);
  const sign = signOf(one, quantity, turnedOver);
  // A little before and after: what led to it is seen too.
  const first = one.series.index(one.maneuver.start_s - 5);
  const last = one.series.index(one.maneuver.end_s + 5);
  const x = new Float64Array(last - first + 1);
  const y = new Float64Array(last - first + 1);
  for (let i = first; i <= last; i += 1) {
    x[i - first] = acrossAt(one, one.series.time(i), across);
    y[i - first] = sign * ((values[i] ?? NaN) - base);
  }
  return y.some(Number.isFinite) ? { x, y } : undefined;
}

function rangeOf(lines: readonly (Line | undefined)[], from: number, to: number): Range | undefined {
  let low = Infinity;
  let high = -Infinity;
  for (const line of lines) {
    line?.y.forEach((value, i) => {
      const x = line.x[i] ?? NaN;
      if (!(x >= from && x <= to) || !Number.isFinite(value)) return;
      low = Math.min(low, value);
      high = Math.max(high, value);
    });
  }
  return low <= high ? [low, high] : undefined;
}

/** A line as the `d` of an SVG path, broken at holes. */
export function pathD(
  line: Line,
  x: (value: number) => number,
  y: (value: number) => number,
  thinned: boolean,
): string {
  const out: string[] = [];
  let run: Point[] = [];
  const finish = (): void => {
    const points = thinned ? thin(run) : run;
    if (points.length > 1) {
      out.push(
        points.map(([px, py], i) => `${i === 0 ? 'M' : 'L'}${px.toFixed(1)} ${py.toFixed(1)}`).join(''),
      );
    }
    run = [];
  };
  for (let i = 0; i < line.x.length; i += 1) {
    const px = x(line.x[i] ?? NaN);
    const py = y(line.y[i] ?? NaN);
    if (Number.isFinite(px + py)) run.push([px, py]);
    else finish();
  }
  finish();
  return out.join('');
}

/** The lowest point after the moment and before the climb, for a number on the line. */
export function lowest(one: Flown): { readonly t: number; readonly value: number } | undefined {
  const id = ['altitude_ft', 'height_ft'].find((name) => one.series.column(name));
  if (!id || !one.maneuver.kind.endsWith('stall')) return undefined;
  const climb = one.maneuver.events.find((event) => event.name === 'positive_climb')?.at_s;
  const until = climb !== undefined && climb > one.zero_s ? climb + 1 : one.zero_s + 20;
  const found = one.series.extremes(id, one.zero_s, Math.min(until, one.maneuver.end_s));
  return found && { t: found.low_s, value: found.low - one.series.at(id, one.zero_s) };
}
