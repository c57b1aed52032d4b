// Ids of the document in a pilot's words; what is not listed reads as its own words. The printed sheets say the same.

const PLAIN: Record<string, string> = {
  power_off_stall: 'power-off stall',
  power_on_stall: 'power-on stall',
  power_off_180: 'power-off 180',
  s_turns: 'S-turns',
  go_around: 'go-around',
  bank_max_20: 'bank over 20°',
  rollout_heading: 'roll-out',
  min_altitude_agl: 'height above ground',
  recovery_after_full_stall: 'recovery after the full stall',
  recovery_prompt: 'prompt recovery',
  power_prompt: 'prompt power',
  power_percent: 'power set',
  no_secondary_stall: 'second stall',
  no_stall_warning: 'stall warning',
  coordination: 'ball',
  descent_established: 'settled descent',
  flap_extension_speed: 'flap speed',
  flaps_in_steps: 'flaps up in steps',
  flaps_retracted: 'flaps up at the end',
  pitch_up_smooth: 'smooth pull',
  climb_not_delayed: 'climb without delay',
  altitude_at_180: 'altitude at 180°',
  airspeed_at_180: 'airspeed at 180°',
  heading_at_180: 'heading at 180°',
  bank_first_half: 'bank in the first half',
  bank_max: 'steepest bank',
  final_airspeed: 'last airspeed',
  level_off: 'level-off',
  roll_before_pull: 'wings before the pull',
  vne: 'VNE',
  ninety_point: '90° point',
  point_45: '45° point',
  point_90: '90° point',
  point_135: '135° point',
  point_180: '180° point',
  setup_start: 'setup begins',
  flap_down: 'flaps down',
  flap_up: 'flaps up',
  descent_stable: 'descent settled',
  idle: 'power idle',
  pitch_up: 'pull begins',
  recovery_start: 'recovery begins',
  secondary_stall: 'second stall',
  positive_climb: 'climb begins',
  vx_reached: 'VX reached',
  vy_reached: 'best climb speed',
  setup: 'set up',
};

/** A snake_case id in plain words. */
export function plainId(id: string): string {
  return PLAIN[id] ?? id.replaceAll('_', ' ').replace('gnss', 'GNSS');
}

/** `PA.VII.B.S6` → `S6`. */
export function elementShort(code: string): string {
  return code.slice(code.lastIndexOf('.') + 1);
}
