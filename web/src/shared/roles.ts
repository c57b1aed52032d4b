// The words of the roles.
import type { Role } from './api/types';

export const roles: readonly Role[] = ['chief', 'instructor', 'student', 'auditor'];

const words: Record<Role, string> = {
  chief: 'chief instructor',
  instructor: 'instructor',
  student: 'student',
  auditor: 'auditor',
};

const may: Record<Role, string> = {
  chief: 'everything, and people, aircraft and standards besides',
  instructor: 'the school’s students and lessons; marks and signs',
  student: 'their own lessons, and demonstrations',
  auditor: 'reads everything, changes nothing',
};

export function roleWord(role: Role): string {
  return words[role];
}

/** What a role may do, in a few words. */
export function roleMay(role: Role): string {
  return may[role];
}
