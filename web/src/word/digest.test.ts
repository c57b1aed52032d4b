import { expect, test } from 'vitest';
import { digestOf, inGroups } from './digest';

// FIPS 180-2, appendix B.1: the digest of "abc".
test('val: the digest of abc', async () => {
  const bytes = new TextEncoder().encode('abc').buffer as ArrayBuffer;
  expect(await digestOf(bytes)).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
});

test('prop: groups put together are the digest', () => {
  const sha256 = 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad';
  expect(inGroups(sha256)).toHaveLength(8);
  expect(inGroups(sha256).join('')).toBe(sha256);
  expect(inGroups('')).toEqual([]);
});
