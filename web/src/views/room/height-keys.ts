// Keys to the height ledger and the what-if, which stand below or beside the sheet.

import { announce } from '../../shared/announce.svelte';
import type { KeyAction } from '../../shared/keys.svelte';

function goTo(part: 'ledger' | 'what-if', missing: string): void {
  const place = document.querySelector<HTMLElement>(`.room [data-part='${part}']`);
  if (!place) {
    announce(missing);
    return;
  }
  place.focus({ preventScroll: true });
  place.scrollIntoView({ block: 'nearest' });
}

export const heightKeys: KeyAction[] = [
  {
    group: 'View',
    keys: 'l',
    words: 'where the height went',
    run: () => {
      goTo('ledger', 'no height ledger here');
    },
  },
  {
    group: 'View',
    keys: 'w',
    words: 'what if it had been flown otherwise',
    run: () => {
      goTo('what-if', 'no what-if here');
    },
  },
];
