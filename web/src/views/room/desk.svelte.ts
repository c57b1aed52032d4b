// What a person does in the room: which tool is open, which bounds are being moved, what the last act changed, and
// whose word stands where. The room itself keeps lesson, maneuver, cursor and window.

import { getContext, setContext, untrack } from 'svelte';
import { announce } from '../../shared/announce.svelte';
import { api } from '../../shared/api/api';
import { ApiError, isAbort } from '../../shared/api/http';
import type { Act, Correction, Entry, LessonView } from '../../shared/api/types';
import { Sending } from '../../shared/send.svelte';
import { session } from '../../shared/session.svelte';
import type { Maneuver } from '../../flight/document';
import type { Room } from '../../flight/room.svelte';
import { Draft } from '../../word/draft.svelte';
import { withBounds } from '../../word/corrections';
import { moved, type Edge, type Span } from '../../word/span';
import { changesOf, spokenChanges, type Changed } from './changes';
import { whyNot } from './may';
import { meantStretch } from './stretch';
import { widened } from './widened';

export type Tool = 'correct' | 'add' | 'briefed' | 'lesson' | 'note';

/** What the last act did. */
export interface Done {
  /** `Boundaries set`. */
  readonly words: string;
  readonly changed: readonly Changed[];
  /** The marks were made anew. */
  readonly marked: boolean;
  /** Puts it back as it was. */
  readonly back: Act | undefined;
}

/** A note while it is written. */
export interface Writing {
  readonly id: string;
  readonly at_s: number;
}

const KEY = Symbol('desk');

export class Desk {
  readonly room: Room;
  tool: Tool | undefined = $state(undefined);
  /** Edges that were moved and not sent; the others follow the maneuver, which somebody else may change meanwhile. */
  edges: Partial<Span> = $state.raw({});
  done: Done | undefined = $state.raw(undefined);
  /** Somebody wrote meanwhile: what the page shows now is newer than what was on it. */
  overtaken = $state(false);
  readonly sending = new Sending();
  /** All acts on the lesson; none = not read yet. */
  entries: readonly Entry[] = $state.raw([]);
  writing: Writing | undefined = $state.raw(undefined);
  readonly note: Draft<string>;
  /** Reasons that were begun, by mark. */
  readonly reasons: Draft<Record<string, string>>;

  /** Why this person may change nothing here; empty = they may. */
  readonly whyNot: string = $derived.by(() =>
    whyNot(this.room.view, session.me?.person ?? undefined, session.role),
  );

  /** The seq that `entries` goes up to. */
  #read = -1;

  constructor(room: Room) {
    this.room = room;
    this.note = new Draft<string>(`${room.id} note`, '');
    this.reasons = new Draft<Record<string, string>>(`${room.id} reasons`, {});
    setContext(KEY, this);
  }

  get judges(): boolean {
    return this.room.view.can.judge;
  }

  /** Whether edges can be taken: a tool that speaks of bounds is open. */
  get grips(): boolean {
    return this.judges && !this.room.asking && (this.tool === 'correct' || this.tool === 'add');
  }

  /** Whether an edge was moved. */
  get moved(): boolean {
    return this.edges.start_s !== undefined || this.edges.end_s !== undefined;
  }

  /** The bounds that the edges stand at. */
  get bounds(): Span | undefined {
    const { start_s, end_s } = { ...this.room.maneuver, ...this.edges };
    return start_s === undefined || end_s === undefined ? undefined : { start_s, end_s };
  }

  // ── tools ──

  open(tool: Tool): void {
    if (!this.judges || this.room.asking) return;
    if (this.tool === tool) {
      this.leave();
      return;
    }
    this.leave();
    this.done = undefined;
    this.sending.error = null;
    this.tool = tool;
    const { room } = this;
    if (tool === 'correct' && room.maneuver) room.window ??= widened(room.maneuver, room.end_s);
    if (tool === 'add') {
      const span = meantStretch(room.window, room.cursor_s, room.maneuvers, room.end_s);
      this.edges = span;
      room.window = widened(span, room.end_s);
    }
    if (tool === 'note') {
      this.writing = { id: crypto.randomUUID(), at_s: Math.round(room.cursor_s * 10) / 10 };
    }
  }

  /** Another maneuver was chosen: what was moved belongs to the one before, what is added stays where it is. */
  turned(): void {
    const { room } = this;
    if (this.tool === 'correct') this.edges = {};
    if (this.grips && this.bounds) room.window ??= widened(this.bounds, room.end_s);
  }

  leave(): void {
    const { tool, room } = this;
    this.tool = undefined;
    this.edges = {};
    this.writing = undefined;
    if (tool === 'correct' || tool === 'add') room.unzoom();
  }

  /** Escape: what was moved goes back first, then the tool is put away. */
  escape(): void {
    if (this.tool === 'correct' && this.moved) this.edges = {};
    else if (this.tool) this.leave();
    else if (this.room.selected) this.room.select(undefined);
    else this.done = undefined;
  }

  /** Writes on a note that stands already. */
  rewrite(id: string, at_s: number, text: string): void {
    if (!this.judges) return;
    this.leave();
    this.done = undefined;
    this.note.now = text;
    this.writing = { id, at_s };
    this.tool = 'note';
    this.room.visit(at_s);
  }

  // ── bounds ──

  move(edge: Edge, to_s: number): void {
    const { bounds, room } = this;
    if (!bounds) return;
    const key = edge === 'start' ? 'start_s' : 'end_s';
    const at = moved(bounds, edge, to_s, room.end_s)[key];
    this.edges = { ...this.edges, [key]: at };
    room.moveTo(at);
  }

  /** Sends the bounds that were moved; the marks come back anew. */
  async sendBounds(): Promise<void> {
    const { maneuver, view } = this.room;
    const span = this.bounds;
    if (!maneuver || !span || !this.moved || this.tool !== 'correct') return;
    const still =
      Math.abs(span.start_s - maneuver.start_s) < 0.05 && Math.abs(span.end_s - maneuver.end_s) < 0.05;
    if (still) {
      this.edges = {};
      return;
    }
    await this.correct(withBounds(view.corrections, maneuver, span), 'Boundaries set');
  }

  // ── acts ──

  /** Sends a list of corrections; `then` chooses what is shown. */
  async correct(list: Correction[], words: string, then?: (after: LessonView) => Maneuver | undefined) {
    const before = this.room.view.corrections;
    const worked = await this.act({ kind: 'corrections', corrections: list }, words, {
      kind: 'corrections',
      corrections: [...before],
    });
    if (!worked) return false;
    this.edges = {};
    const chosen = then?.(this.room.view);
    if (chosen) this.room.choose(chosen.number);
    return true;
  }

  /** Does an act and tells what it changed. Gives whether it worked; what went wrong stands in `sending`. */
  async act(act: Act, words: string, back?: Act): Promise<boolean> {
    const { room } = this;
    const before = room.view;
    this.overtaken = false;
    const worked = await this.sending.run(() => this.send(act));
    if (!worked) return false;
    const marked = act.kind === 'corrections' || act.kind === 'briefed' || act.kind === 'setting';
    const changed = marked ? changesOf(before.debrief, room.view.debrief, room.watch) : [];
    this.done = { words, changed, marked, back };
    announce(marked ? `${words}. ${spokenChanges(changed)}` : words);
    return true;
  }

  /** Does several acts of one word, one after the other. */
  async actAll(acts: readonly Act[], words: string): Promise<boolean> {
    this.overtaken = false;
    const worked = await this.sending.run(async () => {
      for (const act of acts) await this.room.act(act);
      void this.readEntries();
    });
    if (!worked) return false;
    this.done = { words, changed: [], marked: false, back: undefined };
    announce(words);
    return true;
  }

  /** Sends; where somebody wrote meanwhile, the lesson is read again, so that the next try is made on what is there. */
  async send(act: Act): Promise<void> {
    try {
      await this.room.act(act);
      void this.readEntries();
    } catch (error) {
      if (error instanceof ApiError && error.status === 409) await this.#catchUp();
      throw error;
    }
  }

  async #catchUp(): Promise<void> {
    try {
      const before = this.room.view.debrief;
      await this.room.put(await api.lesson(this.room.id));
      this.overtaken = true;
      const changed = changesOf(before, this.room.view.debrief, this.room.watch);
      this.done =
        changed.length > 0
          ? { words: 'Changed by somebody else meanwhile', changed, marked: true, back: undefined }
          : undefined;
      void this.readEntries();
    } catch {
      // The act's own error is told; the page stays as it was.
    }
  }

  /** Takes what others wrote while this window lay behind others. */
  async refresh(): Promise<void> {
    if (this.sending.busy || this.tool) return;
    const now = await api.lesson(this.room.id).catch(() => undefined);
    if (!now || this.sending.busy || this.tool) return;
    const { view } = this.room;
    if (now.entry_seq === view.entry_seq && now.signed.length === view.signed.length) return;
    await this.room.put(now);
    this.done = undefined;
    announce('Somebody wrote meanwhile; the page shows the lesson as it is now.');
  }

  /** Reads who did what, where it is not known yet. */
  async readEntries(signal?: AbortSignal): Promise<void> {
    const { entry_seq, lesson } = untrack(() => this.room.view);
    // Of a demonstration a student sees what it shows; who did what on it is not theirs to read.
    const theirs = session.readsAll || lesson.student?.id === session.me?.person.id;
    if (this.#read === entry_seq || !theirs) return;
    this.#read = entry_seq;
    try {
      this.entries = await api.entries(this.room.id, signal ? { signal } : {});
    } catch (error) {
      this.#read = -1;
      // Names beside corrections are of use, not needed: nothing is told of their lack but that they are lacking.
      if (isAbort(error)) return;
    }
  }

  /** A reason that was begun for a mark. */
  reason(name: string): { now: string; drop(then: string): void } {
    const { reasons } = this;
    return {
      get now() {
        return reasons.now[name] ?? '';
      },
      set now(text: string) {
        reasons.now = { ...reasons.now, [name]: text };
      },
      drop() {
        reasons.now = Object.fromEntries(Object.entries(reasons.now).filter(([key]) => key !== name));
      },
    };
  }
}

/** The desk of the room that a component stands in. */
export function useDesk(): Desk {
  return getContext<Desk>(KEY);
}
