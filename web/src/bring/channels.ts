// What a column of a recording can be: the server's channel ids (docs/recordings.md) in the trade's words, each with
// the units it may be written in.

/** What units measure. */
type Dimension =
  | 'angle'
  | 'length'
  | 'speed'
  | 'rate'
  | 'load'
  | 'pressure'
  | 'temperature'
  | 'revs'
  | 'flow'
  | 'ratio'
  | 'flag'
  | 'time'
  | 'none';

/** Unit ids of the reader, the usual ones of a dimension first. */
const UNITS: Record<Dimension, readonly string[]> = {
  angle: ['deg', 'rad', 'mrad', 'arcmin', 'e7deg'],
  length: ['ft', 'm', 'fl', 'km', 'nm', 'cm', 'mm'],
  speed: ['kt', 'km/h', 'm/s', 'mph', 'ft/min', 'ft/s', 'm/min', 'cm/s'],
  rate: ['deg/s', 'rad/s', 'deg/min'],
  load: ['g', 'mg', 'm/s2', 'ft/s2'],
  pressure: ['inHg', 'hPa', 'Pa', 'kPa', 'bar', 'mmHg', 'psi'],
  temperature: ['°C', '°F', 'K'],
  revs: ['rpm', 'Hz', 'rad/s'],
  flow: ['gal/h', 'l/h', 'l/min', 'lb/h', 'kg/h'],
  ratio: ['%', 'fraction', 'deg'],
  flag: ['0/1'],
  time: ['s', 'ms', 'µs', 'ns', 'min', 'h'],
  none: [],
};

/** Ids as the server tells them, where they are not written as people write them. */
const WRITTEN: Record<string, string> = {
  kmh: 'km/h',
  mps: 'm/s',
  cmps: 'cm/s',
  fpm: 'ft/min',
  fps: 'ft/s',
  mpm: 'm/min',
  radps: 'rad/s',
  degps: 'deg/s',
  degpm: 'deg/min',
  mps2: 'm/s2',
  ftps2: 'ft/s2',
  pa: 'Pa',
  hpa: 'hPa',
  kpa: 'kPa',
  inhg: 'inHg',
  mmhg: 'mmHg',
  c: '°C',
  f: '°F',
  k: 'K',
  hz: 'Hz',
  gph: 'gal/h',
  lph: 'l/h',
  lpm: 'l/min',
  pph: 'lb/h',
  kgph: 'kg/h',
  percent: '%',
  one: 'fraction',
  flag: '0/1',
  us: 'µs',
  volt: 'V',
  amp: 'A',
  liter: 'l',
  mhz: 'MHz',
};

export interface Channel {
  id: string;
  words: string;
  group: string;
  dimension: Dimension;
}

const channel = (id: string, words: string, group: string, dimension: Dimension): Channel => ({
  id,
  words,
  group,
  dimension,
});

/** Every channel, in the order of the list that people choose from. */
export const channels: readonly Channel[] = [
  channel('time', 'time', 'Time and place', 'time'),
  channel('latitude', 'latitude', 'Time and place', 'angle'),
  channel('longitude', 'longitude', 'Time and place', 'angle'),
  channel('altitude_gnss', 'GNSS altitude', 'Time and place', 'length'),
  channel('ground_speed', 'ground speed', 'Time and place', 'speed'),
  channel('track_true', 'true track', 'Time and place', 'angle'),
  channel('track_magnetic', 'magnetic track', 'Time and place', 'angle'),
  channel('fix_quality', 'quality of the fix', 'Time and place', 'none'),
  channel('altitude_indicated', 'indicated altitude', 'Air data', 'length'),
  channel('altitude_pressure', 'pressure altitude', 'Air data', 'length'),
  channel('altimeter_setting', 'altimeter setting', 'Air data', 'pressure'),
  channel('airspeed_indicated', 'indicated airspeed', 'Air data', 'speed'),
  channel('airspeed_calibrated', 'calibrated airspeed', 'Air data', 'speed'),
  channel('airspeed_true', 'true airspeed', 'Air data', 'speed'),
  channel('vertical_speed', 'vertical speed', 'Air data', 'speed'),
  channel('outside_air_temperature', 'outside air temperature', 'Air data', 'temperature'),
  channel('angle_of_attack', 'angle of attack', 'Air data', 'angle'),
  channel('sideslip', 'sideslip', 'Air data', 'angle'),
  channel('stall_warning', 'stall warning', 'Air data', 'flag'),
  channel('wind_speed', 'wind speed', 'Air data', 'speed'),
  channel('wind_direction_from', 'wind direction (from)', 'Air data', 'angle'),
  channel('pitch', 'pitch', 'Attitude', 'angle'),
  channel('bank', 'bank', 'Attitude', 'angle'),
  channel('heading_magnetic', 'magnetic heading', 'Attitude', 'angle'),
  channel('heading_true', 'true heading', 'Attitude', 'angle'),
  channel('magnetic_variation', 'magnetic variation', 'Attitude', 'angle'),
  channel('pitch_rate', 'pitch rate', 'Attitude', 'rate'),
  channel('roll_rate', 'roll rate', 'Attitude', 'rate'),
  channel('yaw_rate', 'yaw rate', 'Attitude', 'rate'),
  channel('load_normal', 'normal load factor', 'Attitude', 'load'),
  channel('load_lateral', 'lateral load factor', 'Attitude', 'load'),
  channel('load_longitudinal', 'longitudinal load factor', 'Attitude', 'load'),
  channel('flap', 'flaps', 'Controls', 'angle'),
  channel('gear', 'landing gear', 'Controls', 'flag'),
  channel('elevator', 'elevator', 'Controls', 'ratio'),
  channel('aileron', 'aileron', 'Controls', 'ratio'),
  channel('rudder', 'rudder', 'Controls', 'ratio'),
  channel('pitch_trim', 'pitch trim', 'Controls', 'ratio'),
  channel('throttle', 'throttle', 'Engine', 'ratio'),
  channel('engine_speed', 'engine speed', 'Engine', 'revs'),
  channel('manifold_pressure', 'manifold pressure', 'Engine', 'pressure'),
  channel('fuel_flow', 'fuel flow', 'Engine', 'flow'),
  channel('power_share', 'share of rated power', 'Engine', 'ratio'),
];

const byId = new Map(channels.map((each) => [each.id, each]));

/** Groups of the list, in its order. */
export const groups: readonly string[] = [...new Set(channels.map((each) => each.group))];

/** What a column was taken for, in words. */
export function channelWords(id: string): string {
  const found = byId.get(id);
  if (found !== undefined) return found.words;
  switch (id) {
    case 'ignore':
    case 'other':
      return 'not used';
    case 'text':
      return 'words, not used';
    case 'empty':
      return 'empty';
    default:
      return id.replaceAll('_', ' ');
  }
}

/** The units that a channel may be written in, the usual ones first. */
export function unitsOf(id: string): readonly string[] {
  return UNITS[byId.get(id)?.dimension ?? 'none'];
}

/** A unit as people write it. */
export function unitWritten(unit: string): string {
  return WRITTEN[unit] ?? unit;
}
