// What a sheet asks before it shows: made from the maneuver's kind and from what the standard asks of it. Questions and
// scales never depend on what was flown, so that they give nothing away.

import type { Maneuver, Mark } from '../../../flight/document';
import { deviation, isLeft } from '../../../maneuver/words';

/** What the recording says to a question. */
export interface Recorded {
  readonly value: number;
  readonly sigma: number | null;
}

/** A question whose answer is a number, answered on a scale. */
export interface NumberQuestion {
  /** `height_lost`, or the criterion. */
  readonly id: string;
  readonly asks: string;
  readonly unit: string;
  readonly low: number;
  readonly high: number;
  readonly step: number;
  /** What a positive and a negative answer are called: `high`, `low`. */
  readonly sides: readonly [plus: string, minus: string] | undefined;
  readonly recorded: Recorded;
}

/** One that may be named as the limit that broke. */
export interface LimitChoice {
  readonly criterion: string;
  readonly words: string;
}

export interface Questions {
  readonly numbers: readonly NumberQuestion[];
  readonly limits: readonly LimitChoice[];
}

/** At most so many numbers are asked for: three things are remembered after landing, four at a pinch. */
const MOST = 4;

interface Scale {
  readonly asks: string;
  readonly low: number;
  readonly high: number;
  readonly step: number;
  readonly sides?: readonly [string, string];
}

const HEIGHT_LOST: Scale = {
  asks: 'How much height went, from the stall to the lowest point?',
  low: 0,
  high: 500,
  step: 10,
};

/** In the order in which they are asked where the kind has no order of its own. */
const SCALES: Readonly<Record<string, Scale>> = {
  altitude: {
    asks: 'How far off was the altitude when it was furthest off?',
    low: -300,
    high: 300,
    step: 10,
    sides: ['high', 'low'],
  },
  heading: {
    asks: 'How far did the nose swing off its heading?',
    low: -60,
    high: 60,
    step: 1,
    sides: ['right', 'left'],
  },
  rollout_heading: {
    asks: 'How far past or short of the entry heading were the wings level?',
    low: -60,
    high: 60,
    step: 1,
    sides: ['past', 'short'],
  },
  bank: { asks: 'Which bank was furthest from what was asked for?', low: 0, high: 75, step: 1 },
  bank_max_20: { asks: 'How steep was the bank at its steepest?', low: 0, high: 75, step: 1 },
  airspeed: {
    asks: 'How far off was the airspeed when it was furthest off?',
    low: -30,
    high: 30,
    step: 1,
    sides: ['fast', 'slow'],
  },
  approach_airspeed: {
    asks: 'How far off was the approach speed when it was furthest off?',
    low: -30,
    high: 30,
    step: 1,
    sides: ['fast', 'slow'],
  },
  climb_airspeed: {
    asks: 'How far off was the climb speed when it was furthest off?',
    low: -30,
    high: 30,
    step: 1,
    sides: ['fast', 'slow'],
  },
  recovery_prompt: {
    asks: 'How long was it from the stall until the nose was let down?',
    low: 0,
    high: 8,
    step: 0.5,
  },
  power_prompt: { asks: 'How long was it from there to full power?', low: 0, high: 8, step: 0.5 },
  flap_extension_speed: {
    asks: 'How fast was it when the flaps went down?',
    low: 40,
    high: 140,
    step: 1,
  },
  min_altitude_agl: {
    asks: 'How close to the ground did it come?',
    low: 0,
    high: 5000,
    step: 100,
  },
};

const STALL = ['height_lost', 'heading', 'bank', 'bank_max_20', 'recovery_prompt', 'power_prompt'];

const ORDER: Readonly<Record<string, readonly string[]>> = {
  power_off_stall: STALL,
  power_on_stall: STALL,
  accelerated_stall: STALL,
  steep_turn: ['altitude', 'bank', 'rollout_heading', 'airspeed'],
  slow_flight: ['altitude', 'airspeed', 'heading', 'bank'],
};

/** The questions of a maneuver; one that the recording has no answer to is not asked. */
export function questionsOf(maneuver: Maneuver): Questions {
  const order = ORDER[maneuver.kind] ?? ['height_lost', ...Object.keys(SCALES)];
  const numbers = order.flatMap((id): NumberQuestion[] => {
    const one = id === 'height_lost' ? heightLost(maneuver) : ofMark(maneuver, id);
    return one ? [one] : [];
  });
  // One question about the bank is enough.
  const banks = numbers.filter(({ id }) => id.startsWith('bank')).slice(1);
  const asked = numbers.filter((one) => !banks.includes(one));
  return { numbers: asked.slice(0, MOST), limits: limitsOf(maneuver) };
}

function heightLost(maneuver: Maneuver): NumberQuestion | undefined {
  const fact = maneuver.facts['altitude_lost_ft'];
  if (!fact || !Number.isFinite(fact.value)) return undefined;
  return question('height_lost', HEIGHT_LOST, 'ft', { value: fact.value, sigma: fact.sigma ?? null });
}

function ofMark(maneuver: Maneuver, criterion: string): NumberQuestion | undefined {
  const scale = SCALES[criterion];
  const mark = maneuver.marks.find((one) => one.criterion === criterion);
  const value = mark && scale ? recordedOf(maneuver, mark, scale) : undefined;
  if (!mark || !scale || value === undefined) return undefined;
  return question(criterion, scale, mark.unit, { value, sigma: mark.sigma ?? null });
}

function question(id: string, scale: Scale, unit: string, recorded: Recorded): NumberQuestion {
  const { asks, low, high, step, sides } = scale;
  return { id, asks, unit, low, high, step, sides, recorded };
}

/** The mark's number as the question asks for it. */
function recordedOf(maneuver: Maneuver, mark: Mark, scale: Scale): number | undefined {
  if (mark.worst === null || mark.worst === undefined || !Number.isFinite(mark.worst)) return undefined;
  if (!scale.sides) return mark.criterion.startsWith('bank') ? Math.abs(mark.worst) : mark.worst;
  const off = deviation(mark);
  // Past or short is counted the way the turn goes.
  return off !== undefined && mark.criterion.includes('rollout') && isLeft(maneuver) ? -off : off;
}

/** Whether the recording has a word on this mark at all. */
export function isDecided(mark: Pick<Mark, 'mark'>): boolean {
  return mark.mark !== 'for_instructor' && mark.mark !== 'not_recorded';
}

function limitsOf(maneuver: Maneuver): LimitChoice[] {
  const seen = new Set<string>();
  return maneuver.marks.flatMap((mark): LimitChoice[] => {
    if (!isDecided(mark) || seen.has(mark.criterion)) return [];
    seen.add(mark.criterion);
    return [{ criterion: mark.criterion, words: mark.quantity }];
  });
}
