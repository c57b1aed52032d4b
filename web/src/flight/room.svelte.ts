// The debrief room's one state: the lesson, the chosen maneuver, the time cursor, the zoom window and play.
// Components draw it and call it; what the word tools change comes back through `put`.

import { announce } from '../shared/announce.svelte';
import { api } from '../shared/api/api';
import type { Act, GivenMark, LessonView, Verdict } from '../shared/api/types';
import { TimeAxis } from './axis';
import type { Debrief, Maneuver, Mark } from './document';
import { GivenMarks } from './given-marks';
import { readSeries, type Series } from './series';
import { lineAt, storyOf, type StoryEvent } from './story';
import { maneuverAxis } from './stretch';
import { Watch } from './watch';
import { between, panned, zoomed, type TimeWindow } from './window';

/** Which mark is meant. */
export interface MarkRef {
  readonly number: number;
  readonly element: string;
  readonly criterion: string;
}

export const SPEEDS = [1, 2, 4, 8, 16] as const;
export type Speed = (typeof SPEEDS)[number];

/** How the room came to a place: links keep it. */
export interface Place {
  readonly m?: number | undefined;
  readonly t?: number | undefined;
  /** Sheets ask first. */
  readonly ask?: boolean | undefined;
}

export class Room {
  readonly id: string;

  /** The lesson as the server knows it now. */
  view: LessonView = $state.raw() as LessonView;
  /** The flight's series; none until they have come. */
  series: Series | undefined = $state.raw(undefined);
  /** Why the series did not come. */
  seriesError: unknown = $state.raw(undefined);

  /** Number of the chosen maneuver; 0 = there is none. */
  number = $state(0);
  /** The time cursor, s. */
  cursor_s = $state(0);
  /** The stretch shown; none = the whole maneuver, stretched by phase. */
  window: TimeWindow | undefined = $state.raw(undefined);
  /** The mark that the word tools work on. */
  selected: MarkRef | undefined = $state.raw(undefined);

  /** The mark whose word is being given: its dialog is open. */
  opened: MarkRef | undefined = $state.raw(undefined);

  playing = $state(false);
  speed: Speed = $state(1);

  /** Whether sheets ask before they show (the switch). */
  askFirst = $state(false);

  readonly debrief: Debrief = $derived(this.view.debrief);
  readonly maneuvers: readonly Maneuver[] = $derived(this.debrief.maneuvers);
  readonly maneuver: Maneuver | undefined = $derived(
    this.maneuvers.find((one) => one.number === this.number),
  );
  readonly watch: Watch = $derived(new Watch(this.debrief.recording.start_utc));
  readonly story: readonly StoryEvent[] = $derived(this.maneuver ? storyOf(this.maneuver) : []);
  /** Index in the story of the line at the cursor. */
  readonly line: number = $derived(lineAt(this.story, this.cursor_s));
  /** Whether the chosen sheet keeps its numbers off the page until the student has answered. */
  readonly asking: boolean = $derived(
    this.askFirst &&
      (this.maneuver?.marked ?? false) &&
      !this.view.word.answers.some((answer) => answer.number === this.number),
  );
  readonly #given: GivenMarks = $derived(new GivenMarks(this.view.word.marks));

  #asked: Promise<ArrayBuffer> | undefined;
  #frame = 0;
  #last_ms = 0;

  /** @param asked - The series' bytes, where somebody asked for them already, beside the lesson. */
  constructor(view: LessonView, place: Place = {}, asked?: Promise<ArrayBuffer>) {
    this.#asked = asked;
    this.id = view.lesson.id;
    this.view = view;
    this.askFirst = place.ask ?? false;
    const marked = this.maneuvers.filter((one) => one.marked);
    const wished = this.maneuvers.find((one) => one.number === place.m);
    const first =
      wished ??
      (place.t === undefined ? undefined : this.maneuverAt(place.t)) ??
      marked[0] ??
      this.maneuvers[0];
    if (first) this.choose(first.number);
    if (place.t !== undefined && Number.isFinite(place.t)) this.moveTo(place.t);
  }

  /** Length of the flight, s. */
  get end_s(): number {
    return this.debrief.recording.duration_s;
  }

  /** Fetches the flight's series; the answer is kept by the browser under the address of its inputs. */
  async loadSeries(signal?: AbortSignal): Promise<void> {
    try {
      const bytes = await (this.#asked ?? api.series(this.id, signal ? { signal } : {}));
      this.#asked = undefined;
      this.series = readSeries(bytes);
      performance.mark('room:series');
      this.seriesError = undefined;
    } catch (error) {
      this.#asked = undefined;
      if (!signal?.aborted) this.seriesError = error;
    }
  }

  /** Sends an act; the lesson comes back re-marked. */
  async act(act: Act): Promise<void> {
    // Lists are sent whole: one that was made from an older lesson would take back what somebody else said.
    const whole = act.kind === 'briefed' || act.kind === 'corrections';
    await this.put(await api.addEntry(this.id, act, whole ? this.view.entry_seq : undefined));
  }

  /** Takes a newer view of the lesson and keeps to the maneuver that was looked at, though its number may differ. */
  async put(view: LessonView): Promise<void> {
    const before = this.maneuver;
    const changed =
      view.lesson.aircraft_id !== this.view.lesson.aircraft_id || view.terrain_ft !== this.view.terrain_ft;
    this.view = view;
    if (before) {
      const overlap = (one: Maneuver): number =>
        Math.min(one.end_s, before.end_s) - Math.max(one.start_s, before.start_s);
      const same = this.maneuvers
        .filter((one) => overlap(one) > 0)
        .sort((a, b) => overlap(b) - overlap(a))[0];
      this.number = (same ?? this.maneuvers[0])?.number ?? 0;
    }
    if (changed) await this.loadSeries();
  }

  /** The person's word on a mark, if one was given. */
  given(mark: Mark, number = this.number): GivenMark | undefined {
    return this.#given.of(number, mark);
  }

  /** The verdict that counts: the person's, else the program's. */
  verdict(mark: Mark, number = this.number): Verdict {
    return this.given(mark, number)?.verdict ?? mark.mark;
  }

  /** The maneuver at a time; of several the shortest. */
  maneuverAt(t: number): Maneuver | undefined {
    return this.maneuvers
      .filter((one) => t >= one.start_s && t <= one.end_s)
      .sort((a, b) => a.end_s - a.start_s - (b.end_s - b.start_s))[0];
  }

  // ── choosing ──

  /** Shows a maneuver whole, with the cursor at what leads its findings, else at its beginning. */
  choose(number: number): void {
    const maneuver = this.maneuvers.find((one) => one.number === number);
    if (!maneuver) return;
    this.number = number;
    this.window = undefined;
    this.selected = undefined;
    this.pause();
    const leading = maneuver.findings[0]?.at_s;
    const inside = leading !== undefined && leading >= maneuver.start_s && leading <= maneuver.end_s;
    this.cursor_s = inside ? leading : maneuver.start_s;
  }

  /** The next (1) or the last (−1) maneuver. */
  chooseBy(step: 1 | -1): void {
    const index = this.maneuvers.findIndex((one) => one.number === this.number);
    const next = this.maneuvers[index + step];
    if (!next) return;
    this.choose(next.number);
    announce(`${String(next.number)}: ${next.title}`);
  }

  /** Picks out a mark and goes to its moment. */
  select(ref: MarkRef | undefined): void {
    if (ref && ref.number !== this.number) this.choose(ref.number);
    this.selected = ref;
    const mark =
      ref &&
      this.maneuver?.marks.find((one) => one.element === ref.element && one.criterion === ref.criterion);
    if (mark?.at_s !== null && mark?.at_s !== undefined) this.moveTo(mark.at_s);
  }

  /**
   * A mark was pressed: the first press picks it out, a second opens its word, to be given or, by who may only read, to
   * be read; with the keyboard the first press opens it.
   */
  press(ref: MarkRef, byKey: boolean): void {
    const again =
      this.selected?.number === ref.number &&
      this.selected.element === ref.element &&
      this.selected.criterion === ref.criterion;
    if (!again) this.select(ref);
    if (again || byKey) this.opened = ref;
  }

  /** Picks out the next mark with a verdict in a maneuver: the list's glyphs stand for several. */
  selectNext(number: number, verdict: Verdict): void {
    const all = this.maneuvers
      .find((one) => one.number === number)
      ?.marks.filter((mark) => this.verdict(mark, number) === verdict);
    if (!all || all.length === 0) return;
    const now = all.findIndex(
      (mark) =>
        number === this.selected?.number &&
        mark.element === this.selected.element &&
        mark.criterion === this.selected.criterion,
    );
    const next = all[(now + 1) % all.length];
    if (next) this.select({ number, element: next.element, criterion: next.criterion });
  }

  /** Opens the next mark that only a person can judge and that nobody gave, from the chosen one on and round again. */
  openNext(): boolean {
    const open = this.maneuvers
      .filter((one) => one.marked)
      .flatMap((one) =>
        one.marks
          .filter((mark) => mark.mark === 'for_instructor' && !this.given(mark, one.number))
          .map((mark): MarkRef => ({ number: one.number, element: mark.element, criterion: mark.criterion })),
      );
    const { selected } = this;
    const now = selected
      ? open.findIndex(
          (one) =>
            one.number === selected.number &&
            one.element === selected.element &&
            one.criterion === selected.criterion,
        )
      : -1;
    const next = now >= 0 ? open[now + 1] : open.find((one) => one.number >= this.number);
    const ref = next ?? open[0];
    if (!ref) return false;
    this.select(ref);
    this.opened = ref;
    return true;
  }

  isSelected(mark: Mark): boolean {
    const { selected } = this;
    return (
      selected?.number === this.number &&
      selected.element === mark.element &&
      selected.criterion === mark.criterion
    );
  }

  // ── the cursor ──

  /** Moves the cursor, within the flight. */
  moveTo(t: number): void {
    if (Number.isFinite(t)) this.cursor_s = Math.min(Math.max(t, 0), this.end_s);
  }

  /** Moves the cursor and shows the maneuver that is flown there. */
  visit(t: number): void {
    const there = this.maneuverAt(t);
    if (
      there &&
      there.number !== this.number &&
      !(this.maneuver && t >= this.maneuver.start_s && t <= this.maneuver.end_s)
    ) {
      this.choose(there.number);
    }
    this.moveTo(t);
  }

  /** Steps by seconds onto round tenths, so that steps forth and back meet. */
  step(by_s: number): void {
    this.pause();
    this.moveTo(Math.round((this.cursor_s + by_s) * 10) / 10);
  }

  /** Goes to the next (1) or the last (−1) event of the story, and says it. */
  stepEvent(step: 1 | -1): void {
    this.pause();
    const next =
      step > 0
        ? this.story.find((event) => event.at_s > this.cursor_s + 0.05)
        : this.story.findLast((event) => event.at_s < this.cursor_s - 0.05);
    if (!next) return;
    this.moveTo(next.at_s);
    announce(`${String(next.number)}, ${this.watch.hms(next.at_s)}: ${this.asking ? next.name : next.words}`);
  }

  // ── play ──

  toggle(): void {
    if (this.playing) this.pause();
    else this.play();
  }

  play(): void {
    const axis = this.span;
    // At the end there is nothing left to play: from the beginning then.
    if (this.cursor_s >= axis.to_s - 0.05 || this.cursor_s < axis.from_s) this.moveTo(axis.from_s);
    this.playing = true;
    this.#last_ms = performance.now();
    this.#frame = requestAnimationFrame(this.#advance);
  }

  pause(): void {
    if (!this.playing) return;
    this.playing = false;
    cancelAnimationFrame(this.#frame);
  }

  /** Faster (1) or slower (−1). */
  speedBy(step: 1 | -1): void {
    this.speed = SPEEDS[SPEEDS.indexOf(this.speed) + step] ?? this.speed;
  }

  readonly #advance = (now_ms: number): void => {
    if (!this.playing) return;
    const elapsed_s = Math.min(Math.max(now_ms - this.#last_ms, 0), 250) / 1000;
    this.#last_ms = now_ms;
    const end_s = this.span.to_s;
    this.moveTo(Math.min(this.cursor_s + elapsed_s * this.speed, end_s));
    if (this.cursor_s >= end_s - 1e-6) this.pause();
    else this.#frame = requestAnimationFrame(this.#advance);
  };

  // ── zoom ──

  /** What is shown, s. */
  get span(): TimeWindow {
    return this.window ?? { from_s: this.maneuver?.start_s ?? 0, to_s: this.maneuver?.end_s ?? this.end_s };
  }

  /** The time axis between two edges, px: stretched by phase when the whole maneuver is shown, linear when zoomed. */
  axis(x0: number, x1: number): TimeAxis {
    if (!this.window && this.maneuver) return maneuverAxis(this.maneuver, x0, x1);
    const { from_s, to_s } = this.span;
    return TimeAxis.linear(from_s, to_s, x0, x1);
  }

  /** Zooms by a factor (below 1 = closer) around a time. */
  zoomAround(at_s: number, factor: number): void {
    this.window = zoomed(this.span, at_s, factor, this.end_s);
  }

  zoomTo(a_s: number, b_s: number): void {
    this.window = between(a_s, b_s, this.end_s);
  }

  panBy(by_s: number): void {
    this.window = panned(this.span, by_s, this.end_s);
  }

  /** Back to the whole maneuver. */
  unzoom(): void {
    this.window = undefined;
  }
}
