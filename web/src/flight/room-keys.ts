// The keys of the room. They are registered in one place (shared/keys.svelte.ts) so that `?` lists them all.

import { announce } from '../shared/announce.svelte';
import type { KeyAction } from '../shared/keys.svelte';
import { readouts, spoken } from './readouts';
import type { Room } from './room.svelte';

const FINE_S = 0.1;
const COARSE_S = 1;

/** What the room's keys do; `print` is the view's. */
export function roomKeys(room: Room, print: () => void): KeyAction[] {
  return [
    {
      group: 'Time',
      keys: ['ArrowLeft', 'ArrowRight'],
      words: 'cursor by 0.1 s',
      run: (key) => {
        room.step(key === 'ArrowLeft' ? -FINE_S : FINE_S);
      },
    },
    {
      group: 'Time',
      keys: ['Shift+ArrowLeft', 'Shift+ArrowRight'],
      words: 'cursor by 1 s',
      run: (key) => {
        room.step(key === 'Shift+ArrowLeft' ? -COARSE_S : COARSE_S);
      },
    },
    {
      group: 'Time',
      keys: [',', '.'],
      words: 'event before, event after',
      run: (key) => {
        room.stepEvent(key === ',' ? -1 : 1);
      },
    },
    {
      group: 'Time',
      keys: 'Space',
      words: 'play, pause',
      run: () => {
        room.toggle();
      },
    },
    {
      group: 'Time',
      keys: ['<', '>'],
      words: 'play slower, faster: 1, 2, 4, 8, 16×',
      run: (key) => {
        room.speedBy(key === '<' ? -1 : 1);
        announce(`speed ${String(room.speed)}`);
      },
    },
    {
      group: 'Time',
      keys: 'r',
      words: 'read out the moment at the cursor',
      run: () => {
        const clock = room.watch.hms(room.cursor_s);
        announce(room.asking || !room.series ? clock : spoken(clock, readouts(room.series, room.cursor_s)));
      },
    },
    {
      group: 'Maneuver',
      keys: ['ArrowUp', 'ArrowDown'],
      words: 'maneuver before, after',
      run: (key) => {
        room.chooseBy(key === 'ArrowUp' ? -1 : 1);
      },
    },
    {
      group: 'Maneuver',
      keys: ['Home', 'End'],
      words: 'its beginning, its end',
      run: (key) => {
        room.pause();
        room.moveTo(key === 'Home' ? room.span.from_s : room.span.to_s);
      },
    },
    {
      group: 'Maneuver',
      keys: 'a',
      words: 'ask first: no numbers until the student has said what they think',
      run: () => {
        room.askFirst = !room.askFirst;
        announce(room.askFirst ? 'asks first' : 'shows everything');
      },
    },
    {
      group: 'View',
      keys: ['+', '='],
      words: 'zoom in at the cursor',
      run: () => {
        room.zoomAround(room.cursor_s, 0.5);
      },
    },
    {
      group: 'View',
      keys: '-',
      words: 'zoom out',
      run: () => {
        room.zoomAround(room.cursor_s, 2);
      },
    },
    {
      group: 'View',
      keys: ['[', ']'],
      words: 'move the zoomed stretch earlier, later',
      run: (key) => {
        const { from_s, to_s } = room.span;
        room.panBy(((to_s - from_s) / 4) * (key === '[' ? -1 : 1));
      },
    },
    {
      group: 'View',
      keys: '0',
      words: 'the whole maneuver again',
      run: () => {
        room.unzoom();
      },
    },
    { group: 'View', keys: 'p', words: 'print this sheet', run: print },
  ];
}
