import { expect, it } from 'vitest';
import { keyId, keyName, type Press } from './key-names';

const press = (key: string, more: Partial<Press> = {}): Press => ({
  key,
  shiftKey: false,
  ctrlKey: false,
  metaKey: false,
  altKey: false,
  ...more,
});

it('prop_shift_tells_arrows_apart_but_not_signs', () => {
  expect(keyId(press('ArrowLeft'))).toBe('ArrowLeft');
  expect(keyId(press('ArrowLeft', { shiftKey: true }))).toBe('Shift+ArrowLeft');
  // On most keyboards ? is typed with Shift; on some it is not.
  expect(keyId(press('?', { shiftKey: true }))).toBe('?');
  expect(keyId(press('?'))).toBe('?');
  expect(keyId(press('A', { shiftKey: true }))).toBe('a');
});

it('prop_the_browsers_own_keys_stay_the_browsers', () => {
  for (const more of [{ ctrlKey: true }, { metaKey: true }, { altKey: true }]) {
    expect(keyId(press('p', more))).toBeNull();
  }
  expect(keyId(press('Dead'))).toBeNull();
});

it('prop_every_name_can_be_read', () => {
  expect(keyName('Shift+ArrowLeft')).toBe('Shift ←');
  expect(keyName('a')).toBe('A');
  expect(keyName(',')).toBe(',');
});
