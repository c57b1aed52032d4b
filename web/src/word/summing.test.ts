import { expect, test } from 'vitest';
import { fresh, kept } from './summing';

const summary = {
  text: 'Good look-out.',
  next: 'Rudder first.',
  by: { id: 'i', name: 'R. Tern', role: 'instructor' as const },
  at_utc: '2026-01-01T10:00:00.000Z',
};

test('prop: what was not touched counts as kept; a space at the end is no change', () => {
  expect(kept(fresh(summary), summary)).toBe(true);
  expect(kept(fresh(null), null)).toBe(true);
  expect(kept({ ...fresh(summary), text: 'Good look-out. ' }, summary)).toBe(true);
  expect(kept({ ...fresh(summary), next: '' }, summary)).toBe(false);
});

test('prop: a draft knows which summary it began from', () => {
  expect(fresh(summary).from).toBe(summary.at_utc);
  expect(fresh(null).from).toBe('');
});
