import { expect, test } from 'vitest';
import { debriefOf, maneuverOf, markOf } from '../../flight/document.fixture';
import { changesOf } from './changes';

const stall = maneuverOf();

test('prop: the same document changed nothing', () => {
  expect(changesOf(debriefOf(), debriefOf())).toEqual([]);
});

test('val: another answer is said with both', () => {
  const after = debriefOf([maneuverOf({ marks: [markOf({ mark: 'too_close' })] })]);
  expect(changesOf(debriefOf(), after).map((one) => one.words)).toEqual([
    'heading to the stall (S6): was not met, now too close',
  ]);
});

test('val: the same answer by another limit', () => {
  const after = debriefOf([maneuverOf({ marks: [markOf({ low: 57, high: 67 })] })]);
  expect(changesOf(debriefOf(), after).map((one) => one.words)).toEqual([
    'heading to the stall (S6): the limit was 62° ± 10°, now 62° ± 5°'
      .replaceAll(' ± ', '\u00a0±\u00a0')
      .replaceAll('62°', '062°'),
  ]);
});

test('prop: a maneuver that moved a little is the same; one elsewhere came, the old one went', () => {
  const moved = debriefOf([maneuverOf({ start_s: 103, number: 5 })]);
  expect(changesOf(debriefOf(), moved)).toEqual([]);
  const elsewhere = debriefOf([maneuverOf({ start_s: 400, end_s: 480, number: 5 })]);
  expect(changesOf(debriefOf(), elsewhere).map((one) => [one.number, one.words])).toEqual([
    [5, 'new in the list'],
    [undefined, 'no longer in the list'],
  ]);
});

test('prop: another standard is compared by criterion', () => {
  const after = debriefOf([
    { ...stall, task: 'CA.VII.B', marks: [markOf({ element: 'CA.VII.B.S6', mark: 'met', worst: 66 })] },
  ]);
  expect(changesOf(debriefOf(), after).map((one) => one.words)).toEqual([
    'marked by CA.VII.B, before by PA.VII.B',
    'heading to the stall (S6): was not met, now met',
  ]);
});
