// A lesson that can be acted on: the room is one, and the page of the word has its own.

import { api } from '../shared/api/api';
import type { Act, LessonView } from '../shared/api/types';

export interface Keeper {
  readonly view: LessonView;
  /** Sends an act; the lesson comes back, marked anew where that is needed. */
  act(act: Act): Promise<void>;
}

export class Lesson implements Keeper {
  view: LessonView = $state.raw() as LessonView;
  #before: Promise<unknown> = Promise.resolve();

  constructor(view: LessonView) {
    this.view = view;
  }

  /** One act after the other, so that quick presses come back in their order. */
  act(act: Act): Promise<void> {
    const turn = this.#before.then(async () => {
      // Lists are sent whole: one that was made from an older lesson would take back what somebody else said.
      const whole = act.kind === 'briefed' || act.kind === 'corrections';
      this.view = await api.addEntry(this.view.lesson.id, act, whole ? this.view.entry_seq : undefined);
    });
    this.#before = turn.catch(() => undefined);
    return turn;
  }

  /** Asks for the lesson as it is now, in its turn: an answer from before an act would undo what the act showed. */
  reload(): Promise<void> {
    const turn = this.#before.then(async () => {
      this.view = await api.lesson(this.view.lesson.id);
    });
    this.#before = turn.catch(() => undefined);
    return turn;
  }
}
