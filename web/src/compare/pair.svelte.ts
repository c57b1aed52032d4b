// The state of a comparison: the two, what they are aligned by, the cursor in time from it, and what is shown.

import { Room } from '../flight/room.svelte';
import type { Series } from '../flight/series';
import { Watch } from '../flight/watch';
import { announce } from '../shared/announce.svelte';
import type { LessonView } from '../shared/api/types';
import { number } from '../shared/format';
import { defining, sharedMoments, telling, whole, type Shared, type Window } from './align';
import { acrossAt, type Across, type Flown } from './panels';

/** A lesson with its series. */
export interface Opened {
  readonly view: LessonView;
  readonly series: Series;
}

/** One of the two as it came. */
export interface Side extends Opened {
  readonly number: number;
}

export class Pair {
  readonly sides: { readonly a: Side; readonly b: Side };
  readonly shared: readonly Shared[] = $state.raw([]);
  readonly watches: { readonly a: Watch; readonly b: Watch };

  /** Id of what they are aligned by. */
  alignedBy = $state('start');
  /** Seconds from the moment. */
  cursor_s = $state(0);
  /** Over each other, or side by side. */
  over = $state(true);
  across: Across = $state('time');
  window: Window | undefined = $state.raw();

  readonly by: Shared = $derived(
    this.shared.find(({ id }) => id === this.alignedBy) ?? defining(this.shared),
  );
  readonly a: Flown = $derived(this.#flown('a'));
  readonly b: Flown = $derived(this.#flown('b'));
  /** What is shown, seconds from the moment. */
  readonly span: Window = $derived(this.window ?? telling(this.a.maneuver, this.b.maneuver, this.by));

  constructor(a: Side, b: Side) {
    this.sides = { a, b };
    this.shared = sharedMoments(maneuverOf(a), maneuverOf(b));
    this.watches = { a: watchOf(a), b: watchOf(b) };
    this.alignedBy = defining(this.shared).id;
    // Turns are laid against heading turned: they differ in how long they take.
    this.across = maneuverOf(a).kind === 'steep_turn' ? 'turn' : 'time';
  }

  #flown(which: 'a' | 'b'): Flown {
    const side = this.sides[which];
    return { maneuver: maneuverOf(side), series: side.series, zero_s: this.by[which].at_s };
  }

  align(id: string): void {
    const before = this.by;
    this.alignedBy = id;
    // The cursor stays where it was on the first.
    this.moveTo(this.cursor_s + before.a.at_s - this.by.a.at_s);
    this.window = undefined;
  }

  moveTo(s: number): void {
    const all = whole(this.a.maneuver, this.b.maneuver, this.by);
    if (Number.isFinite(s)) this.cursor_s = Math.min(Math.max(s, all.from_s - 5), all.to_s + 5);
  }

  step(by_s: number): void {
    this.moveTo(Math.round((this.cursor_s + by_s) * 10) / 10);
  }

  /** To the next (1) or last (−1) event of the first, and says it. */
  stepEvent(step: 1 | -1): void {
    const at = (one: Shared): number => one.a.at_s - this.by.a.at_s;
    const next =
      step > 0
        ? this.shared.find((one) => at(one) > this.cursor_s + 0.05)
        : this.shared.findLast((one) => at(one) < this.cursor_s - 0.05);
    if (!next) return;
    this.moveTo(at(next));
    announce(`${next.words}, ${number(at(next), 1)} seconds from ${this.by.words}`);
  }

  zoom(factor: number): void {
    const { from_s, to_s } = this.span;
    const all = whole(this.a.maneuver, this.b.maneuver, this.by);
    const middle = Math.min(Math.max(this.cursor_s, from_s), to_s);
    const from = Math.max(middle - (middle - from_s) * factor, all.from_s);
    const to = Math.min(middle + (to_s - middle) * factor, all.to_s);
    this.window = to - from < 2 ? { from_s: middle - 1, to_s: middle + 1 } : { from_s: from, to_s: to };
  }

  all(): void {
    this.window = whole(this.a.maneuver, this.b.maneuver, this.by);
  }

  /** Ends of the axis in its own unit. */
  get ends(): readonly [number, number] {
    if (this.across === 'time') return [this.span.from_s, this.span.to_s];
    const turned = [this.a, this.b].flatMap((one) => {
      const [low, high] = [one.maneuver.start_s, one.maneuver.end_s].map((t) => acrossAt(one, t, 'turn'));
      return [low ?? NaN, high ?? NaN].filter(Number.isFinite);
    });
    return turned.length === 0 ? [0, 360] : [Math.min(...turned) - 10, Math.max(...turned) + 10];
  }

  /** A room of one side, for what draws a room. */
  room(which: 'a' | 'b'): Room {
    const side = this.sides[which];
    const room = new Room(side.view, { m: side.number });
    room.series = side.series;
    return room;
  }
}

function maneuverOf(side: Side): Flown['maneuver'] {
  const found = side.view.debrief.maneuvers.find((one) => one.number === side.number);
  if (!found) throw new Error(`The lesson has no maneuver ${String(side.number)} now: choose another one.`);
  return found;
}

function watchOf(side: Side): Watch {
  return new Watch(side.view.debrief.recording.start_utc);
}
