// What stands beside a sheet's title: task, what was asked for, times, entry height, wind.

import type { Debrief, Maneuver } from '../flight/document';
import { plainId } from '../flight/names';
import { number, withUnit } from '../flight/numbers';
import type { Watch } from '../flight/watch';

/** `FAA private pilot PA.VII.B, recovery after a full stall, as briefed`. */
export function askedFor(debrief: Debrief, maneuver: Maneuver): string {
  // `FAA private pilot, airplane` is long for a line that carries four things.
  const standard = (debrief.standard.title.split(',')[0] ?? '').trim();
  if (!maneuver.marked) return `${standard}: no task for this`;
  const parts = [`${standard} ${maneuver.task ?? ''}`.trim()];
  if (maneuver.specified_recovery) {
    parts.push(
      maneuver.specified_recovery === 'full_stall'
        ? 'recovery after a full stall'
        : `recovery at the ${plainId(maneuver.specified_recovery)}`,
    );
  }
  if (maneuver.targets_origin === 'briefed') parts.push('as briefed');
  else if (maneuver.targets_origin !== '') parts.push(`targets ${plainId(maneuver.targets_origin)}`);
  return parts.join(', ');
}

/** `14:06:25–14:07:51 UTC, entry 3,815 ft, wind 325° 25 ± 3 kt`. */
export function factsLine(debrief: Debrief, maneuver: Maneuver, watch: Watch): string {
  const zone = watch.start_unix_s === undefined ? '' : ' UTC';
  const parts = [`${watch.hms(maneuver.start_s)}–${watch.hms(maneuver.end_s)}${zone}`];
  const entry = maneuver.facts['entry_altitude_ft'];
  if (entry && Number.isFinite(entry.value)) parts.push(`entry ${withUnit(entry.value, 0, 'ft')}`);
  const wind = windWords(debrief);
  if (wind !== undefined) parts.push(wind);
  return parts.join(', ');
}

/** `wind 325° 25 ± 3 kt`, or nothing where it is not known. */
export function windWords(debrief: Debrief): string | undefined {
  const { wind_from_deg: from, wind_kt: speed, wind_sigma_kt: sigma } = debrief.flight;
  if (typeof from !== 'number' || typeof speed !== 'number') return undefined;
  const direction = String(Math.round(((from % 360) + 360) % 360)).padStart(3, '0');
  const doubt = typeof sigma === 'number' && sigma >= 0.5 ? `\u00a0±\u00a0${number(sigma, 0)}` : '';
  return `wind ${direction}°\u00a0${number(speed, 0)}${doubt}\u00a0kt`;
}
