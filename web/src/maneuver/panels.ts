// What is traced: a panel for each quantity that the recording supports, in the order of a scan and in the units a
// pilot reads. The printed sheet has the same panels; the page adds the stall margin.

import type { Debrief, Maneuver } from '../flight/document';
import { eventTime } from '../flight/stretch';
import { number, withSigma, withUnit } from '../flight/numbers';
import { mirror, nice, niceWithZero, padded, type Range, type ValueTick } from '../flight/scale';
import { Column, type Series } from '../flight/series';

export type Weight = 'heavy' | 'thin' | 'dashed';

export interface TraceLine {
  /** What is drawn, as words for the table. */
  readonly title: string;
  readonly column: Column;
  readonly weight: Weight;
  /** Written along the line, where it is not what the panel is named for. */
  readonly name?: string;
  /** Own scale, where it differs from the panel's. */
  readonly scale?: Range;
}

/** A number written next to a line. */
export interface TraceNote {
  readonly t: number;
  /** On the panel's scale. */
  readonly value: number;
  readonly words: string;
  /** With a dot on the line. */
  readonly dot: boolean;
}

export interface MarginName {
  readonly value: number;
  readonly words: string;
  readonly bold: boolean;
}

export interface Panel {
  readonly id: string;
  readonly name: string;
  /** Unit, origin and what else must be said. */
  readonly second: string;
  /** Height of the plot, px. */
  readonly height: number;
  readonly lines: readonly TraceLine[];
  readonly scale: Range;
  readonly ticks: readonly ValueTick[];
  /** Names of ticks in the right margin. */
  readonly margin: readonly MarginName[];
  readonly notes: readonly TraceNote[];
}

/** Times between which the scales are taken, s. */
export interface Span {
  readonly from_s: number;
  readonly to_s: number;
}

interface Context {
  readonly debrief: Debrief;
  readonly maneuver: Maneuver;
  readonly series: Series;
  readonly span: Span;
}

/** Every panel that the recording supports. */
export function panelsOf(debrief: Debrief, maneuver: Maneuver, series: Series, span: Span): Panel[] {
  const context = { debrief, maneuver, series, span };
  const ballIsRibbon = maneuver.marks.some((mark) => mark.criterion === 'coordination' && mark.ribbon);
  return [
    height(context),
    airspeed(context) ?? groundSpeed(context),
    margin(context),
    pitch(context),
    bank(context),
    ballIsRibbon ? undefined : ball(context),
    power(context),
    flaps(context),
  ].filter((panel) => panel !== undefined);
}

/** A quantity that has anything to show in the span. */
function shown({ series, span }: Context, id: string): { column: Column; range: Range } | undefined {
  const column = series.column(id);
  const range = column && rangeOf(column, series, span);
  return column && range && { column, range };
}

function rangeOf(column: Column, series: Series, span: Span): Range | undefined {
  const found = column.pyramid.extremes(series.index(span.from_s), series.index(span.to_s));
  return found && [found.min, found.max];
}

function joint(a: Range, b: Range | undefined): Range {
  return b ? [Math.min(a[0], b[0]), Math.max(a[1], b[1])] : a;
}

/** Says where a quantity is from when nobody recorded it. */
function unitWords(unit: string, column: Column): string {
  const { origin } = column.header;
  return origin === 'measured' ? unit : `${unit}, ${origin}`;
}

/** When the break was, or what stands for it. */
function anchor(maneuver: Maneuver): number | undefined {
  return eventTime(maneuver, 'full_stall') ?? eventTime(maneuver, 'first_cue');
}

function noteAt(
  series: Series,
  id: string,
  t: number,
  say: (value: number) => string,
  dot: boolean,
): TraceNote[] {
  const value = series.at(id, t);
  return Number.isFinite(value) ? [{ t, value, words: say(value), dot }] : [];
}

/** The lowest of a quantity after the break, until the climb. */
function lowest({ maneuver, series }: Context, id: string): number | undefined {
  const stall = anchor(maneuver);
  if (stall === undefined) return undefined;
  const climb = eventTime(maneuver, 'positive_climb');
  const until = Math.min(climb === undefined ? stall + 20 : climb + 1, maneuver.end_s);
  return series.extremes(id, stall, until)?.low_s;
}

function height(context: Context): Panel | undefined {
  const found = shown(context, 'altitude_ft');
  if (!found) return undefined;
  const { series, maneuver } = context;
  const scale = padded(...found.range, 120);
  const indicated =
    found.column.header.origin === 'measured' && series.column('ias_kt')?.header.origin === 'measured';
  const say = (value: number): string => number(value, 0);
  const stall = anchor(maneuver);
  const low = lowest(context, 'altitude_ft');
  const lost = maneuver.facts['altitude_lost_ft'];
  const notes = [
    ...(stall === undefined ? [] : noteAt(series, 'altitude_ft', stall, say, true)),
    ...(low === undefined ? [] : noteAt(series, 'altitude_ft', low, say, true)),
  ];
  const at = low === undefined ? NaN : series.at('altitude_ft', low);
  return {
    id: 'height',
    name: 'Height',
    second: indicated ? 'ft, indicated' : 'ft, GNSS',
    height: 52,
    lines: [{ title: 'Height', column: found.column, weight: 'heavy' }],
    scale,
    ticks: nice(scale, 3),
    margin:
      lost && Number.isFinite(at)
        ? [{ value: at, words: `${withSigma(lost.value, lost.sigma, 'ft')} true loss`, bold: true }]
        : [],
    notes,
  };
}

const SPEED_NAMES: [key: string, name: string][] = [
  ['vfe', 'limit, flaps down'],
  ['vy', 'best climb'],
  ['vs0', 'full-flap stall'],
  ['vs1', 'clean stall'],
  ['va', 'maneuvering speed'],
];

/** A speed of the aircraft by its letters, whatever the spelling of the key (`vs0`, `vs0_kt`, `Vs0`). */
export function speedOf(debrief: Debrief, wanted: string): number | undefined {
  const found = Object.entries(debrief.aircraft.speeds_kt).find(
    ([key]) => key.toLowerCase().split('_')[0] === wanted,
  )?.[1];
  return found !== undefined && found > 0 ? found : undefined;
}

function airspeed(context: Context): Panel | undefined {
  const found = shown(context, 'ias_kt');
  if (!found) return undefined;
  const { debrief, maneuver, series } = context;
  const [least, greatest] = found.range;
  let scale = padded(least, greatest, 24);
  const named = SPEED_NAMES.flatMap(([key, words]) => {
    const value = speedOf(debrief, key);
    return value !== undefined && value > least - 5 && value < greatest + 5
      ? [{ value, words, bold: false }]
      : [];
  });
  for (const { value } of named) scale = [Math.min(scale[0], value - 2), Math.max(scale[1], value + 2)];
  const far = ({ value }: ValueTick): boolean =>
    named.every((one) => Math.abs(one.value - value) > (scale[1] - scale[0]) * 0.27);
  const stall = anchor(maneuver);
  const moment = stallSpeed(series);
  const lines: TraceLine[] = [{ title: 'Airspeed', column: found.column, weight: 'heavy' }];
  if (moment)
    lines.push({
      title: 'Stall speed of the moment',
      column: moment,
      weight: 'dashed',
      name: 'stall speed of the moment (dashed)',
    });
  const unit = found.column.header.origin === 'measured' ? 'kt, indicated' : 'kt, from GNSS and wind';
  return {
    id: 'airspeed',
    name: 'Airspeed',
    second: unit,
    height: 46,
    lines,
    scale,
    ticks: [...named.map(({ value }) => ({ value, words: number(value, 0) })), ...nice(scale, 3).filter(far)],
    margin: named,
    notes:
      stall === undefined ? [] : noteAt(series, 'ias_kt', stall, (value) => withUnit(value, 0, 'kt'), true),
  };
}

const stallSpeeds = new WeakMap<Series, Column | undefined>();

/** Indicated airspeed at which the wing would stall at the load and flap setting of the moment, from the margin. */
function stallSpeed(series: Series): Column | undefined {
  if (stallSpeeds.has(series)) return stallSpeeds.get(series);
  const ias = series.column('ias_kt');
  const above = series.column('stall_margin_percent');
  let column: Column | undefined;
  if (ias && above) {
    const values = ias.values.map((speed, i) => speed / (1 + (above.values[i] ?? NaN) / 100));
    column = new Column(
      {
        ...ias.header,
        id: 'stall_speed_kt',
        title: 'Stall speed of the moment',
        origin: 'derived',
        sigma: null,
      },
      values,
    );
  }
  stallSpeeds.set(series, column);
  return column;
}

function groundSpeed(context: Context): Panel | undefined {
  const found = shown(context, 'ground_speed_kt');
  if (!found) return undefined;
  const scale = padded(...found.range, 24);
  return {
    id: 'ground_speed',
    name: 'Ground speed',
    second: 'kt; no airspeed recorded',
    height: 46,
    lines: [{ title: 'Ground speed', column: found.column, weight: 'heavy' }],
    scale,
    ticks: nice(scale, 3),
    margin: [],
    notes: [],
  };
}

/** Speed above the stall speed of the moment: what was left before the wing gives up. */
function margin(context: Context): Panel | undefined {
  const found = shown(context, 'stall_margin_percent');
  if (!found) return undefined;
  // Twice the stall speed and more is cruise: the panel is for what happens near the stall.
  const range: Range = [Math.max(found.range[0], -30), Math.min(found.range[1], 100)];
  const scale = padded(Math.min(range[0], 0), Math.max(range[1], 30), 40);
  return {
    id: 'stall_margin',
    name: 'Stall margin',
    second: unitWords('% of stall speed', found.column),
    height: 34,
    lines: [{ title: 'Speed above the stall speed of the moment', column: found.column, weight: 'heavy' }],
    scale,
    ticks: [
      { value: 0, words: '0' },
      { value: 30, words: '30' },
      ...(scale[1] > 85 ? [{ value: 80, words: '80' }] : []),
    ],
    margin: [{ value: 0, words: 'stall', bold: false }],
    notes: [],
  };
}

function pitch(context: Context): Panel | undefined {
  const { maneuver, series } = context;
  const found = shown(context, 'pitch_deg');
  const attack = shown(context, 'aoa_deg');
  const first = found ?? attack;
  if (!first) return undefined;
  const lines: TraceLine[] = [];
  if (found) lines.push({ title: 'Pitch', column: found.column, weight: 'heavy' });
  if (attack)
    lines.push({
      title: 'Angle of attack',
      column: attack.column,
      ...(found ? { weight: 'thin', name: 'angle of attack (thin)' } : { weight: 'heavy' }),
    });
  const range = joint(first.range, attack?.range);
  const scale = padded(Math.min(range[0], 0), Math.max(range[1], 0), 16);
  const stall = anchor(maneuver);
  const low = found && stall !== undefined ? series.extremes('pitch_deg', stall, maneuver.end_s) : undefined;
  const unit = unitWords('degrees', first.column);
  return {
    id: 'pitch',
    name: found ? 'Pitch' : 'Angle of attack',
    second: unit,
    height: 44,
    lines,
    scale,
    ticks: niceWithZero(scale),
    margin: [],
    notes:
      low && low.low < -3
        ? [{ t: low.low_s, value: low.low, words: `nose ${withUnit(-low.low, 0, 'deg')} low`, dot: false }]
        : [],
  };
}

function bank(context: Context): Panel | undefined {
  const found = shown(context, 'bank_deg');
  if (!found) return undefined;
  const { maneuver, series } = context;
  const scale = padded(Math.min(found.range[0], 0), Math.max(found.range[1], 0), 20);
  const extremes = series.extremes('bank_deg', maneuver.start_s, maneuver.end_s);
  const right = extremes && extremes.high >= -extremes.low;
  const most = extremes && (right ? extremes.high : extremes.low);
  const rudder = shown(context, 'rudder_percent');
  const lines: TraceLine[] = [{ title: 'Bank', column: found.column, weight: 'heavy' }];
  if (rudder)
    lines.push({
      title: 'Rudder',
      column: rudder.column,
      weight: 'thin',
      name: 'rudder (thin)',
      scale: mirror(scale, 100),
    });
  const unit =
    found.column.header.origin === 'measured' ? 'degrees, right up' : 'degrees, right up, from the turn';
  return {
    id: 'bank',
    name: rudder ? 'Bank, rudder' : 'Bank',
    second: unit,
    height: 44,
    lines,
    scale,
    ticks: niceWithZero(scale),
    margin: [],
    notes:
      extremes && most !== undefined && Math.abs(most) >= 8
        ? [
            {
              t: right ? extremes.high_s : extremes.low_s,
              value: most,
              words: `${withUnit(Math.abs(most), 0, 'deg')} ${right ? 'right' : 'left'}`,
              dot: false,
            },
          ]
        : [],
  };
}

function ball(context: Context): Panel | undefined {
  const found = shown(context, 'lateral_g');
  if (!found) return undefined;
  const scale = padded(Math.min(found.range[0], 0), Math.max(found.range[1], 0), 0.2);
  return {
    id: 'ball',
    name: 'Ball',
    second: unitWords('sideways g', found.column),
    height: 34,
    lines: [{ title: 'Sideways load', column: found.column, weight: 'heavy' }],
    scale,
    ticks: [{ value: 0, words: '0' }],
    margin: [],
    notes: [],
  };
}

const POWERS: [id: string, unit: string, span: number][] = [
  ['rpm', 'rpm', 400],
  ['power_percent', '% of full', 40],
  ['throttle_percent', 'throttle, %', 40],
];

function power(context: Context): Panel | undefined {
  for (const [id, unit, span] of POWERS) {
    const found = shown(context, id);
    if (!found) continue;
    const scale = padded(...found.range, span);
    const flap = flapLine(context, scale);
    return {
      id: 'power',
      name: flap ? 'Power, flaps' : 'Power',
      second: `${unitWords(unit, found.column)}${flap ? ', degrees' : ''}`,
      height: 42,
      lines: [{ title: 'Power', column: found.column, weight: 'heavy' }, ...(flap ? [flap.line] : [])],
      scale,
      ticks: nice(scale, 2),
      margin: [],
      notes: flap?.notes ?? [],
    };
  }
  return undefined;
}

/** Flaps in a panel of their own: recorded without power beside them, or inferred, as a chance. */
function flaps(context: Context): Panel | undefined {
  const { series } = context;
  const angle = series.column('flap_deg');
  if (angle && angle.header.origin !== 'measured') return flapChance(context);
  if (POWERS.some(([id]) => shown(context, id))) return undefined;
  const scale: Range = [-2, 42];
  const flap = flapLine(context, scale);
  if (!flap) return undefined;
  return {
    id: 'flaps',
    name: 'Flaps',
    second: 'degrees',
    height: 30,
    lines: [flap.line],
    scale,
    ticks: [{ value: 0, words: '0' }],
    margin: [],
    notes: flap.notes,
  };
}

/** Nobody recorded the flaps: what the lift and the drag say is a chance, never an angle. */
function flapChance(context: Context): Panel | undefined {
  const found = shown(context, 'flap_out_probability');
  if (!found) return undefined;
  return {
    id: 'flaps',
    name: 'Flaps out',
    second: 'chance, inferred from lift and drag',
    height: 30,
    lines: [{ title: 'Chance that the flaps were out', column: found.column, weight: 'dashed' }],
    scale: [-0.08, 1.08],
    ticks: [
      { value: 0, words: 'in' },
      { value: 1, words: 'out' },
    ],
    margin: [],
    notes: [],
  };
}

/** Recorded flap angle on its own scale, with each new setting at its step. */
function flapLine(context: Context, panel: Range): { line: TraceLine; notes: TraceNote[] } | undefined {
  const found = shown(context, 'flap_deg');
  if (found?.column.header.origin !== 'measured') return undefined;
  const { series, maneuver } = context;
  const top = Math.max(found.range[1], 20) * 1.35;
  const own: Range = [-0.06 * top, top];
  const place = (angle: number): number =>
    panel[0] + ((angle - own[0]) / (own[1] - own[0])) * (panel[1] - panel[0]);
  const steps = series.header.flap_steps.filter(
    ({ at_s, probability }) =>
      at_s !== null && at_s >= maneuver.start_s && at_s <= maneuver.end_s && (probability ?? 1) >= 0.5,
  );
  const notes = steps.flatMap(({ at_s, to_deg }): TraceNote[] =>
    at_s === null || to_deg === null
      ? []
      : [{ t: at_s, value: place(to_deg), words: withUnit(to_deg, 0, 'deg'), dot: false }],
  );
  return {
    line: { title: 'Flaps', column: found.column, weight: 'dashed', name: 'flaps (dashed)', scale: own },
    notes,
  };
}
