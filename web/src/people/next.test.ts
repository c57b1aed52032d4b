import { expect, it } from 'vitest';
import { afterSigningIn } from './next';

it('prop_only_our_own_pages_come_next', () => {
  for (const away of [
    null,
    '',
    '//elsewhere.example/',
    '/\\elsewhere',
    'https://elsewhere.example',
    '/sign-in',
    '/x',
  ]) {
    expect(afterSigningIn(away)).toBe('/');
  }
  expect(afterSigningIn('/lessons/0193?m=3')).toBe('/lessons/0193?m=3');
});
