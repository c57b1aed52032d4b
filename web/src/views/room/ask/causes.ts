// Why a limit broke, as the one who flew would say it: the plain common causes of what the standard asks of the
// maneuver. Those with the id of a finding can be held against what the recording shows.

import type { Maneuver } from '../../../flight/document';

export interface Cause {
  /** Id of the finding that says the same; the others are causes that no recording shows. */
  readonly id: string;
  readonly words: string;
  /** The limits that it can break; none = any. */
  readonly criteria: readonly string[];
}

interface Row {
  readonly id: string;
  readonly words: string;
  /** It explains these; none = it can be behind anything. */
  readonly criteria: readonly string[];
  /** For these kinds only; none = for all. */
  readonly kinds?: readonly string[];
}

const STALLS = ['power_off_stall', 'power_on_stall', 'accelerated_stall'];

// The ids are those of crates/debrief/src/findings/table.rs.
const ROWS: readonly Row[] = [
  {
    id: 'recovered_before_full_stall',
    words: 'let the nose down before the full stall',
    criteria: ['recovery_after_full_stall', 'recovery_as_specified'],
  },
  { id: 'stall_held', words: 'held the stall too long', criteria: ['recovery_prompt'], kinds: STALLS },
  { id: 'late_full_power', words: 'full power came late', criteria: ['power_prompt'] },
  { id: 'weak_power', words: 'too little power before the pull', criteria: ['power_percent'] },
  {
    id: 'secondary_stall',
    words: 'pulled again too soon in the recovery',
    criteria: ['no_secondary_stall'],
  },
  { id: 'pitched_up_abruptly', words: 'raised the nose abruptly', criteria: ['pitch_up_smooth'] },
  { id: 'not_established', words: 'the descent was not settled first', criteria: ['descent_established'] },
  { id: 'flaps_above_vfe', words: 'flaps out too fast', criteria: ['flap_extension_speed'] },
  { id: 'flaps_retracted_together', words: 'all flaps up at once', criteria: ['flaps_in_steps'] },
  { id: 'flaps_left_down', words: 'flaps were left down', criteria: ['flaps_retracted'] },
  { id: 'climbed_late', words: 'let the speed run before climbing', criteria: ['climb_not_delayed'] },
  {
    id: 'wing_drop',
    words: 'a wing dropped at the stall',
    criteria: ['heading', 'bank', 'bank_max_20'],
    kinds: STALLS,
  },
  {
    id: 'altitude_drift',
    words: 'not enough back pressure or power for the bank',
    criteria: ['altitude'],
    kinds: ['steep_turn'],
  },
  { id: 'altitude_drift', words: 'power did not hold the altitude', criteria: ['altitude'] },
  {
    id: 'airspeed_drift',
    words: 'power was added late for the bank',
    criteria: ['airspeed'],
    kinds: ['steep_turn'],
  },
  { id: 'airspeed_drift', words: 'the nose was not held for the speed', criteria: ['airspeed'] },
  {
    id: 'bank_out_of_limits',
    words: 'the bank was not held on the horizon',
    criteria: ['bank', 'bank_max_20'],
  },
  {
    id: 'rollout_off_heading',
    words: 'began the roll-out at the wrong point',
    criteria: ['rollout_heading'],
  },
  { id: 'heading_wander', words: 'the nose was not held on one point', criteria: ['heading'] },
  { id: 'uncoordinated', words: 'feet did not keep the ball centered', criteria: ['coordination'] },
  { id: 'below_minimum_height', words: 'began too low', criteria: ['min_altitude_agl'] },
  { id: 'not_trimmed', words: 'it was not trimmed', criteria: ['airspeed'], kinds: ['slow_flight'] },
  { id: 'eyes_inside', words: 'eyes were on the instruments, not outside', criteria: [] },
  { id: 'behind_the_airplane', words: 'behind the airplane: too much at once', criteria: [] },
  { id: 'rough_air', words: 'rough air or wind', criteria: [] },
];

/** The causes to choose from. What the maneuver's kind says closest comes before what holds for any kind. */
export function causesOf(maneuver: Pick<Maneuver, 'kind' | 'marks'>): Cause[] {
  const asked = new Set(maneuver.marks.map(({ criterion }) => criterion));
  const seen = new Set<string>();
  return ROWS.flatMap(({ id, words, criteria, kinds }): Cause[] => {
    const fits = criteria.length === 0 || criteria.some((criterion) => asked.has(criterion));
    if (seen.has(id) || !fits || (kinds && !kinds.includes(maneuver.kind))) return [];
    seen.add(id);
    return [{ id, words, criteria }];
  });
}

/** Those that can have broken one of these limits, those that can be behind anything, and those that are ticked. */
export function closest(
  causes: readonly Cause[],
  limits: readonly string[],
  ticked: readonly string[],
): Cause[] {
  return causes.filter(
    ({ id, criteria }) =>
      criteria.length === 0 || ticked.includes(id) || criteria.some((one) => limits.includes(one)),
  );
}

/** Whether a recording can show a cause: it has a finding of its own. */
export function canBeShown(id: string): boolean {
  return ROWS.some((row) => row.id === id && row.criteria.length > 0);
}

/** A kept cause in words, also one that the maneuver's kind would not offer now. */
export function causeWords(id: string, kind: string): string {
  const rows = ROWS.filter((row) => row.id === id);
  const row = rows.find(({ kinds }) => kinds?.includes(kind)) ?? rows.find(({ kinds }) => !kinds) ?? rows[0];
  return row?.words ?? id.replaceAll('_', ' ');
}
