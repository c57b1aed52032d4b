import { expect, it } from 'vitest';
import { passwordTrouble } from './password';

it('prop_length_counts_characters_not_code_units', () => {
  expect(passwordTrouble('🛩️'.repeat(3), '🛩️'.repeat(3))?.at).toBe('first');
  expect(passwordTrouble('twelve chars', 'twelve chars')).toBeNull();
  expect(passwordTrouble('eleven char', 'eleven char')?.words).toContain('11');
});

it('prop_both_must_agree', () => {
  expect(passwordTrouble('pull until it buffets', 'pull until it buffers')?.at).toBe('second');
});
