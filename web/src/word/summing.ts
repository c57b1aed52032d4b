// A summary while it is written.

import type { Summary } from '../shared/api/types';

export interface Summing {
  readonly text: string;
  readonly next: string;
  /** When the summary that it began from was kept; empty = there was none. */
  readonly from: string;
}

/** What stands in the fields before anything is typed. */
export function fresh(summary: Summary | null): Summing {
  return { text: summary?.text ?? '', next: summary?.next ?? '', from: summary?.at_utc ?? '' };
}

/** Whether the server has it as it is written. */
export function kept(draft: Summing, summary: Summary | null): boolean {
  return draft.text.trim() === (summary?.text ?? '') && draft.next.trim() === (summary?.next ?? '');
}
