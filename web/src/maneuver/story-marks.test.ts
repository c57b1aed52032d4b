import { expect, test } from 'vitest';
import { markOf, maneuverOf } from '../flight/document.fixture';
import { storyOf } from '../flight/story';
import { marksAt } from './story-marks';

test('prop: a mark stands at the nearest event, once, and at none where none is near', () => {
  const story = storyOf(maneuverOf());
  const marks = [
    markOf({ criterion: 'at_the_stall', at_s: 165.4 }),
    markOf({ criterion: 'far', at_s: 140 }),
    markOf({ criterion: 'met', mark: 'met', at_s: 165 }),
    markOf({ criterion: 'nowhere', at_s: null }),
  ];
  const found = story.flatMap((event) =>
    marksAt(marks, story, event, (mark) => mark.mark).map((mark) => [event.event, mark.criterion]),
  );
  expect(found).toEqual([['full_stall', 'at_the_stall']]);
  expect(marksAt(marks, story, story[0]!, () => 'met')).toEqual([]);
});
