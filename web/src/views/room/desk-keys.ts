// The keys of the instructor's tools. They are served only to who may use them, so that `?` lists nothing that does
// nothing.

import { announce } from '../../shared/announce.svelte';
import type { KeyAction } from '../../shared/keys.svelte';
import type { Desk } from './desk.svelte';

export function deskKeys(desk: Desk): KeyAction[] {
  const group = 'Word';
  return [
    {
      group,
      keys: 'n',
      words: 'note at the cursor',
      run: () => {
        desk.open('note');
      },
    },
    {
      group,
      keys: 'j',
      words: 'next mark that only you can give',
      run: () => {
        if (!desk.room.asking && !desk.room.openNext()) announce('Every mark is given.');
      },
    },
    {
      group,
      keys: 'b',
      words: 'boundaries and kind; on a bracket ← → by 0.1 s, Shift by 1 s, Enter sends',
      run: () => {
        desk.open('correct');
      },
    },
    {
      group,
      keys: 'i',
      words: 'what was briefed',
      run: () => {
        desk.open('briefed');
      },
    },
    {
      group,
      keys: 'd',
      words: 'add a maneuver over the stretch that is zoomed, else around the cursor',
      run: () => {
        desk.open('add');
      },
    },
  ];
}
