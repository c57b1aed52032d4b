import { expect, test } from 'vitest';
import { dropDraft, readDraft, writeDraft, type Shelf } from './drafts';

function shelf(): Shelf & { all: Map<string, string> } {
  const all = new Map<string, string>();
  return {
    all,
    getItem: (key) => all.get(key) ?? null,
    setItem: (key, value) => void all.set(key, value),
    removeItem: (key) => void all.delete(key),
  };
}

test('prop: a draft comes back as it was written', () => {
  const store = shelf();
  writeDraft(store, 'note L1', { text: 'right foot', at_s: 81.2 });
  expect(readDraft(store, 'note L1')).toEqual({ text: 'right foot', at_s: 81.2 });
  expect(readDraft(store, 'note L2')).toBeUndefined();
});

test('prop: what was kept or emptied leaves nothing behind', () => {
  const store = shelf();
  writeDraft(store, 'summary L1', { text: 'a', next: '' });
  writeDraft(store, 'summary L1', { text: '', next: '' });
  expect(store.all.size).toBe(0);
  writeDraft(store, 'summary L1', { text: 'a', next: '' });
  dropDraft(store, 'summary L1');
  expect(store.all.size).toBe(0);
});

test('prop: a store that is full, forbidden or holds rubbish stops nobody', () => {
  const full: Shelf = {
    getItem: () => '{"text":',
    setItem: () => {
      throw new Error('QuotaExceededError');
    },
    removeItem: () => undefined,
  };
  expect(() => {
    writeDraft(full, 'x', 'words');
  }).not.toThrow();
  expect(readDraft(full, 'x')).toBeUndefined();
  expect(readDraft(undefined, 'x')).toBeUndefined();
});
