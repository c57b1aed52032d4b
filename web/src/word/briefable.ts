import type { Debrief } from '../flight/document';

/** Whether a stall of the lesson has a clean recovery that a brief card can show, as `press::brief_card` asks. */
export const briefable = (document: Pick<Debrief, 'maneuvers'>): boolean =>
  document.maneuvers.some((one) => one.kind.endsWith('_stall') && !!one.what_if && !!one.height_ledger);
