// A person's word on a mark, as it stands beside the program's.

import type { GivenMark } from '../shared/api/types';
import { verdictWord } from '../shared/verdict';

/** `confirmed by R. Tern`, `changed by R. Tern; program: not met`. */
export function givenWords(given: GivenMark): string {
  const by = `by ${given.by.name}`;
  if (given.how === 'confirmed') return `confirmed ${by}`;
  const said = given.how === 'given' ? `given ${by}` : `changed ${by}`;
  const differs = given.program !== null && given.program !== given.verdict;
  return differs && given.how !== 'given'
    ? `${said}; program: ${verdictWord(given.program ?? 'not_recorded')}`
    : said;
}

/** The same in the little room beside a ribbon: whose word it is stands where the mark is picked out. */
export function givenShort(given: GivenMark): string {
  if (given.how === 'confirmed') return 'confirmed';
  if (given.how === 'given') return 'given';
  const differs = given.program !== null && given.program !== given.verdict;
  return differs ? `changed; program: ${verdictWord(given.program ?? 'not_recorded')}` : 'changed';
}
