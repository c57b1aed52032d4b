import { describe, expect, it } from 'vitest';
import { maneuverOf } from './document.fixture';
import { TimeAxis } from './axis';
import { lineAt, storyOf } from './story';
import { maneuverAxis } from './stretch';

describe('story', () => {
  const story = storyOf(maneuverOf());

  it('prop: every event has its line, once, in order of time, numbered from 1', () => {
    expect(story.map(({ number }) => number)).toEqual([1, 2, 3, 4, 5]);
    expect(story.map(({ event }) => event)).toEqual([
      'pitch_up',
      'full_stall',
      'flap_up',
      'flap_up',
      'positive_climb',
    ]);
    expect(story[1]?.words).toBe('full stall, 44\u00a0kt, 3,365\u00a0ft');
  });

  it('prop: what repeats is counted, what is doubtful says so, names carry no number', () => {
    expect(story[2]?.words).toBe('flaps up, 1 of 2, perhaps');
    expect(story[3]?.words).toBe('flaps up, 2 of 2');
    for (const line of story) expect(line.name).not.toMatch(/\d/);
  });

  it('prop: the line at the cursor is the last event reached', () => {
    expect(lineAt(story, 0)).toBe(0);
    expect(lineAt(story, 164.9)).toBe(0);
    expect(lineAt(story, 165)).toBe(1);
    expect(lineAt(story, 999)).toBe(4);
  });
});

describe('the axis of a maneuver', () => {
  it('prop: a stall is cut into at most three pieces, and the pull and recovery get most of the width', () => {
    const axis = maneuverAxis(maneuverOf(), 0, 500);
    expect(axis.pieces.length).toBeGreaterThan(1);
    expect(axis.pieces.length).toBeLessThanOrEqual(3);
    const share = axis.clamped(177) - axis.clamped(154);
    expect(share / 500).toBeGreaterThan(0.5);
    expect(axis.start).toBe(100);
    expect(axis.end).toBe(190);
  });

  it('prop: anything else is linear', () => {
    const turn = maneuverAxis(maneuverOf({ kind: 'steep_turn' }), 0, 500);
    expect(turn).toEqual(TimeAxis.linear(100, 190, 0, 500));
    expect(maneuverAxis(maneuverOf({ events: [] }), 0, 500).pieces).toHaveLength(1);
  });
});
