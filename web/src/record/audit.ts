// The audit trail in words.
import type { AuditRow } from '../shared/api/types';
import { href } from '../shared/routes';

/** `lesson.signed` → `lesson signed`. */
export function actionWords(action: string): string {
  return action.replaceAll(/[._]/g, ' ');
}

export interface Subject {
  words: string;
  /** Where it can be looked at. */
  to: string | null;
}

/** `lesson 0193…` → a short name and the page that shows it. */
export function subject(text: string): Subject {
  const [kind = '', id = ''] = text.split(' ', 2);
  const words = id.length > 13 ? `${kind} ${id.slice(0, 8)}…${id.slice(-4)}` : text;
  switch (kind) {
    case 'lesson':
      return { words, to: id === '' ? null : href('room', { id }) };
    case 'aircraft':
      return { words, to: id === '' ? null : href('aircraftFile', { id }) };
    case 'standard':
      return { words, to: id === '' ? null : href('standard', { id }) };
    default:
      return { words, to: null };
  }
}

/** Digests of the rows that an act wrote (`seals`) are for the check, not for reading. Particulars as `name: value`, in the order they were written; text that is no JSON object stays as it is. */
export function particulars(row: Pick<AuditRow, 'detail'>): string {
  try {
    const value: unknown = JSON.parse(row.detail);
    if (typeof value !== 'object' || value === null || Array.isArray(value)) return row.detail;
    return Object.entries(value)
      .filter(([key, each]) => key !== 'seals' && each !== null && each !== '')
      .map(
        ([key, each]) =>
          `${key.replaceAll('_', ' ')}: ${short(typeof each === 'string' ? each : JSON.stringify(each))}`,
      )
      .join('; ');
  } catch {
    return row.detail;
  }
}

/** Digests are told apart by their first figures; the row's own text holds them whole. */
function short(text: string): string {
  return text.replace(/\b([0-9a-f]{12})[0-9a-f]{28,}\b/g, '$1…');
}
