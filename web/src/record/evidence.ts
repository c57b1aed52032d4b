// The latest evidence for each task of a standard: what was flown when, and how it was marked. No totals.
import type { ManeuverBrief, TaskView, Verdict } from '../shared/api/types';

export interface Attempt {
  lesson: string;
  number: number;
  utc: string;
  /** The mark that needs attention first. */
  verdict: Verdict;
  met: number;
  /** Marks that the recording decides or nearly decides: met, not met, too close. */
  asked: number;
}

export interface TaskEvidence {
  kind: string;
  /** Form that the task is for; empty = no particular one. */
  variant: string;
  code: string;
  title: string;
  /** Oldest first. */
  attempts: Attempt[];
}

/** What needs attention first stands for the maneuver. */
const order: readonly Verdict[] = ['not_met', 'too_close', 'met', 'for_instructor', 'not_recorded'];

export function attempt(maneuver: ManeuverBrief): Attempt {
  const n = (verdict: Verdict) => maneuver.marks[verdict] ?? 0;
  return {
    lesson: maneuver.lesson_id,
    number: maneuver.number,
    utc: maneuver.start_utc,
    verdict: order.find((verdict) => n(verdict) > 0) ?? 'not_recorded',
    met: n('met'),
    asked: n('met') + n('not_met') + n('too_close'),
  };
}

/**
 * One row for each task of the standard in its order, flown or not; then the kinds that were flown without a task.
 * Demonstrations are the instructor's and count for nobody.
 */
export function evidence(tasks: readonly TaskView[], maneuvers: readonly ManeuverBrief[]): TaskEvidence[] {
  const own = maneuvers.filter((maneuver) => !maneuver.demonstration);
  const has = (kind: string, variant: string | undefined) =>
    tasks.some((task) => task.kind === kind && (task.variant ?? undefined) === variant);
  // A form that this standard has no task for was marked as no particular one, or by another standard.
  const variantOf = ({ kind, variant }: ManeuverBrief) =>
    variant && has(kind, variant) ? variant : undefined;
  const of = (task: TaskView) =>
    own
      .filter(
        (maneuver) => maneuver.kind === task.kind && variantOf(maneuver) === (task.variant ?? undefined),
      )
      .map(attempt)
      .sort((a, b) => a.utc.localeCompare(b.utc));
  return tasks.map((task) => ({
    kind: task.kind,
    variant: task.variant ?? '',
    code: task.code,
    title: task.title,
    attempts: of(task),
  }));
}

/** Where a day lies on a line that is one year long and ends today: 0 to 1, null when it is older. */
export function onYear(utc: string, now: Date): number | null {
  const time = Date.parse(utc);
  if (Number.isNaN(time)) return null;
  const share = 1 - (now.getTime() - time) / (365 * 86_400_000);
  return share < 0 ? null : Math.min(share, 1);
}
