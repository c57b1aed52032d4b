// Findings as they are told: headline, evidence, what it cost, one thing to try and where that is from.

import type { Finding, Maneuver, Mark, Verdict } from '../flight/document';
import { plainId } from '../flight/names';
import { sentence, tidy, withUnit } from '../flight/numbers';

/** At most this many causes lead; the rest is folded. */
export const LEADING = 2;

export interface Told {
  readonly id: string;
  readonly at_s: number;
  readonly headline: string;
  readonly evidence: string;
  /** Empty where nothing is known. */
  readonly cost: string;
  readonly advice: string;
  readonly source: string;
  /** The marks that it broke. */
  readonly broke: readonly Mark[];
}

export function tell(maneuver: Maneuver, finding: Finding, verdict: (mark: Mark) => Verdict): Told {
  const notMet = finding.criteria.filter((criterion) =>
    maneuver.marks.some((mark) => mark.criterion === criterion && verdict(mark) === 'not_met'),
  );
  const broke = maneuver.marks.filter(
    (mark) => finding.criteria.includes(mark.criterion) && verdict(mark) === 'not_met',
  );
  const cost = [
    ...(notMet.length > 0 ? [`${notMet.map(plainId).join(', ')} not met`] : []),
    ...(typeof finding.cost_ft === 'number' && Number.isFinite(finding.cost_ft)
      ? [withUnit(finding.cost_ft, 0, 'ft')]
      : []),
  ];
  return {
    id: `${finding.id} ${String(finding.at_s)}`,
    at_s: finding.at_s,
    headline: tidy(finding.headline.trim().replace(/\.$/, '')),
    evidence: sentence(finding.evidence),
    cost: cost.join(', and '),
    advice: sentence(finding.advice),
    source: finding.source.trim(),
    broke,
  };
}
