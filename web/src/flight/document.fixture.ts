// An invented maneuver for tests: a stall of a minute and a half with an excursion of heading before it.

import type { Debrief, Maneuver, Mark, Ribbon } from './document';

/** Deviation ÷ tolerance every half second from 100 s on, from a function of time. */
export function ribbonOf(value: (t: number) => number | null, more: Partial<Ribbon> = {}): Ribbon {
  return {
    style: 'line',
    start_s: 100,
    step_s: 0.5,
    graded_from_s: 110,
    graded_to_s: 165,
    sigma: 0.15,
    deviation: Array.from({ length: 181 }, (_, i) => value(100 + i * 0.5)),
    ...more,
  };
}

export function markOf(more: Partial<Mark> = {}): Mark {
  return {
    element: 'PA.VII.B.S6',
    criterion: 'heading',
    quantity: 'heading to the stall',
    unit: 'deg',
    target: 62,
    low: 52,
    high: 72,
    worst: 85.3,
    sigma: 1.5,
    mark: 'not_met',
    limit_origin: 'published',
    origin: 'measured',
    at_s: 140,
    ribbon: ribbonOf((t) => 2 * Math.exp(-(((t - 140) / 3) ** 2))),
    ...more,
  };
}

export function maneuverOf(more: Partial<Maneuver> = {}): Maneuver {
  return {
    number: 2,
    kind: 'power_off_stall',
    title: 'Power-off stall, straight ahead',
    direction: 'straight',
    start_s: 100,
    end_s: 190,
    confidence: 1,
    confidence_word: 'certain',
    set_by: 'program',
    marked: true,
    task: 'PA.VII.B',
    specified_recovery: 'full_stall',
    targets_origin: 'assumed',
    phases: [
      { name: 'setup', start_s: 100, end_s: 126 },
      { name: 'entry', start_s: 126, end_s: 165 },
      { name: 'recovery', start_s: 165, end_s: 190 },
    ],
    events: [
      { name: 'pitch_up', at_s: 156, sigma_s: 0.5, origin: 'derived', probability: 1 },
      { name: 'full_stall', at_s: 165, sigma_s: 0.2, origin: 'measured', probability: 1 },
      { name: 'flap_up', at_s: 168, sigma_s: 0.3, origin: 'measured', probability: 0.4 },
      { name: 'flap_up', at_s: 172, sigma_s: 0.3, origin: 'measured', probability: 1 },
      { name: 'positive_climb', at_s: 174, sigma_s: 0.5, origin: 'derived', probability: 1 },
    ],
    facts: { altitude_lost_ft: { value: 216, unit: 'ft', sigma: 6, origin: 'derived' } },
    marks: [markOf()],
    findings: [],
    strengths: [],
    verdict_line: 'You stalled it fully and lost 216 ft.',
    change_line: 'Next time: eyes ahead.',
    story: [{ at_s: 165, event: 'full_stall', text: 'full stall, 44 kt, 3,365 ft' }],
    ...more,
  } as Maneuver;
}

export function debriefOf(maneuvers: Maneuver[] = [maneuverOf()], more: Partial<Debrief> = {}): Debrief {
  return {
    schema: 'proofwing/debrief/1',
    program: '0',
    caution: '',
    recording: {
      name: 'lesson.csv',
      start_utc: '2025-09-04T14:04:43Z',
      duration_s: 1000,
      interval_s: 0.1,
      rows: 10_000,
      fit: 'rich',
      channels: [],
      gaps: [],
      notes: [],
    },
    aircraft: { name: 'Pellwick 180', description: '', speeds_kt: { vs0: 46, vfe: 90, vy: 74 } },
    standard: { id: 'faa-private', title: 'FAA private pilot, airplane', edition: '' },
    flight: { air: 'calm', remarks: [], strip_step_s: 2, strip_altitude_ft: [3000, 3100, null, 3050] },
    maneuvers,
    ...more,
  } as Debrief;
}
