import { beforeEach, describe, expect, it, vi } from 'vitest';
import type { GivenMark, LessonView } from '../shared/api/types';
import { debriefOf, markOf, maneuverOf } from './document.fixture';
import { Room } from './room.svelte';

function viewOf(more: Partial<LessonView> = {}): LessonView {
  const maneuvers = [
    maneuverOf({
      number: 1,
      kind: 'clearing_turns',
      marked: false,
      start_s: 40,
      end_s: 90,
      events: [],
      story: [],
      marks: [],
    }),
    maneuverOf({ findings: [{ at_s: 150 }] as never }),
    maneuverOf({ number: 3, start_s: 300, end_s: 380, events: [], story: [] }),
  ];
  return {
    lesson: { id: 'L', aircraft_id: 'a' },
    terrain_ft: 700,
    debrief: debriefOf(maneuvers),
    word: { marks: [], notes: [], summary: null, answers: [], replies: [] },
    ...more,
  } as unknown as LessonView;
}

const given = (more: Partial<GivenMark>): GivenMark =>
  ({ number: 2, element: 'PA.VII.B.S6', criterion: 'heading', verdict: 'met', program: 'not_met', how: 'changed', ...more }) as GivenMark; // prettier-ignore

describe('room', () => {
  it('prop: opens at the first marked maneuver, at what leads its findings; a link opens at its place', () => {
    const room = new Room(viewOf());
    expect([room.number, room.cursor_s]).toEqual([2, 150]);
    const linked = new Room(viewOf(), { m: 3, t: 333.3 });
    expect([linked.number, linked.cursor_s]).toEqual([3, 333.3]);
    expect(new Room(viewOf(), { t: 50 }).number).toBe(1);
    expect(new Room(viewOf(), { m: 99 }).number).toBe(2);
  });

  it('prop: steps forth and back meet, and stay within the flight', () => {
    const room = new Room(viewOf());
    for (let i = 0; i < 7; i += 1) room.step(0.1);
    for (let i = 0; i < 7; i += 1) room.step(-0.1);
    expect(room.cursor_s).toBeCloseTo(150, 9);
    room.moveTo(-5);
    expect(room.cursor_s).toBe(0);
    room.moveTo(1e9);
    expect(room.cursor_s).toBe(1000);
    room.moveTo(NaN);
    expect(room.cursor_s).toBe(1000);
  });

  it('prop: from event to event, from maneuver to maneuver', () => {
    const room = new Room(viewOf());
    room.stepEvent(1);
    expect(room.cursor_s).toBe(156);
    room.stepEvent(1);
    room.stepEvent(-1);
    expect(room.cursor_s).toBe(156);
    room.chooseBy(1);
    expect(room.number).toBe(3);
    room.chooseBy(1);
    expect(room.number).toBe(3);
  });

  it('prop: a visit to another maneuver shows it, one within stays', () => {
    const room = new Room(viewOf());
    room.visit(340);
    expect(room.number).toBe(3);
    room.visit(280);
    expect([room.number, room.cursor_s]).toEqual([3, 280]);
  });

  it('prop: the axis is stretched while whole, linear when zoomed, and whole again', () => {
    const room = new Room(viewOf());
    expect(room.axis(0, 500).pieces.length).toBeGreaterThan(1);
    room.zoomAround(165, 0.5);
    const axis = room.axis(0, 500);
    expect(axis.pieces).toHaveLength(1);
    expect(axis.end - axis.start).toBeCloseTo(45, 9);
    expect(axis.toTime(axis.clamped(165))).toBeCloseTo(165, 9);
    room.unzoom();
    expect(room.axis(0, 500).pieces.length).toBeGreaterThan(1);
  });

  it('prop: the person’s verdict counts, the program’s stays known', () => {
    const word = {
      marks: [given({}), given({ number: null, criterion: 'bank' })],
      notes: [],
      summary: null,
      answers: [],
      replies: [],
    };
    const room = new Room(viewOf({ word }));
    expect(room.verdict(markOf())).toBe('met');
    expect(room.given(markOf())?.program).toBe('not_met');
    expect(room.verdict(markOf({ criterion: 'bank' }))).toBe('not_met');
    expect(room.verdict(markOf(), 3)).toBe('not_met');
  });

  it('prop: a sheet that asks first asks until this maneuver is answered, and only then shows', () => {
    const room = new Room(viewOf());
    expect(room.asking).toBe(false);
    room.askFirst = true;
    expect(room.asking).toBe(true);
    const answers = [{ number: 2, said: [] }] as never;
    void room.put(viewOf({ word: { marks: [], notes: [], summary: null, answers, replies: [] } }));
    expect(room.asking).toBe(false);
    room.choose(3);
    expect(room.asking).toBe(true);
    room.choose(1);
    expect(room.asking).toBe(false);
  });

  it('prop: after re-marking the same maneuver is shown, whatever its number is now', () => {
    const room = new Room(viewOf());
    const now = viewOf();
    now.debrief.maneuvers.shift();
    now.debrief.maneuvers.forEach((one, i) => (one.number = i + 1));
    void room.put(now);
    expect(room.maneuver?.start_s).toBe(100);
    expect(room.cursor_s).toBe(150);
  });

  it('prop: picking a mark goes to its moment', () => {
    const room = new Room(viewOf());
    room.select({ number: 2, element: 'PA.VII.B.S6', criterion: 'heading' });
    expect(room.cursor_s).toBe(140);
    expect(room.isSelected(markOf())).toBe(true);
    room.chooseBy(1);
    expect(room.isSelected(markOf())).toBe(false);
  });
});

describe('play', () => {
  let frame: FrameRequestCallback | undefined;

  beforeEach(() => {
    vi.stubGlobal('requestAnimationFrame', (call: FrameRequestCallback) => {
      frame = call;
      return 1;
    });
    vi.stubGlobal('cancelAnimationFrame', () => {
      frame = undefined;
    });
  });

  it('prop: the cursor runs as fast as asked and stops at the end', () => {
    vi.spyOn(performance, 'now').mockReturnValue(0);
    const room = new Room(viewOf());
    room.speed = 4;
    room.play();
    for (let ms = 100; ms <= 1000; ms += 100) frame?.(ms);
    expect(room.cursor_s).toBeCloseTo(154, 6);
    for (let ms = 1100; ms <= 20_000 && room.playing; ms += 200) frame?.(ms);
    expect(room.playing).toBe(false);
    expect(room.cursor_s).toBe(190);
    room.play();
    expect(room.cursor_s).toBe(100);
    room.step(0.1);
    expect(room.playing).toBe(false);
  });

  it('prop: a pause of the machine is no leap of the cursor', () => {
    vi.spyOn(performance, 'now').mockReturnValue(0);
    const room = new Room(viewOf());
    room.play();
    frame?.(5000);
    expect(room.cursor_s).toBeLessThanOrEqual(150.25 + 1e-9);
  });
});
