import { expect, it } from 'vitest';
import { actionWords, particulars, subject } from './audit';

it('prop_subjects_lead_to_their_pages', () => {
  const id = '0193ab00-1111-7222-8333-444455556666';
  expect(subject(`lesson ${id}`)).toEqual({ words: 'lesson 0193ab00…6666', to: `/lessons/${id}` });
  expect(subject('school')).toEqual({ words: 'school', to: null });
  expect(subject('standard school-private').to).toBe('/standards/school-private');
});

it('prop_particulars_lose_nothing_they_cannot_read', () => {
  expect(particulars({ detail: '{"version":2,"sha256":"ab","note":""}' })).toBe('version: 2; sha256: ab');
  expect(particulars({ detail: JSON.stringify({ sha256: 'ab'.repeat(32) }) })).toBe('sha256: abababababab…');
  expect(particulars({ detail: 'plain words' })).toBe('plain words');
  expect(particulars({ detail: '[1]' })).toBe('[1]');
  expect(actionWords('lesson.set_aside')).toBe('lesson set aside');
});
