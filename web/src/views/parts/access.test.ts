import { expect, it } from 'vitest';
import type { Permissions } from '../../shared/api/types';
import { mayOpen } from './access';

const nobody: Permissions = {
  read_all: false,
  bring_in: false,
  judge: false,
  manage_people: false,
  manage_aircraft: false,
  manage_standards: false,
  read_audit: false,
};

it('prop_a_student_has_lessons_standards_and_their_own_record_only', () => {
  for (const name of [
    'lessons',
    'room',
    'word',
    'compare',
    'student',
    'standards',
    'standard',
    'account',
    'bringIn', // The page itself says who brings in.
  ] as const) {
    expect(mayOpen(name, nobody), name).toBe(true);
  }
  for (const name of ['students', 'people', 'aircraft', 'aircraftFile', 'audit', 'remarking'] as const) {
    expect(mayOpen(name, nobody), name).toBe(false);
  }
});

it('prop_an_auditor_reads', () => {
  const auditor = { ...nobody, read_all: true, read_audit: true };
  expect(mayOpen('audit', auditor)).toBe(true);
  expect(mayOpen('people', auditor)).toBe(true);
});
