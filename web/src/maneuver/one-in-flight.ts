// Asks a server as fast as it answers and no faster: while one question is under way only the newest waits.

export class OneInFlight<Question, Answer> {
  readonly #send: (question: Question, signal: AbortSignal) => Promise<Answer>;
  readonly #answered: (answer: Answer, question: Question) => void;
  readonly #failed: (error: unknown) => void;
  readonly #wait_ms: number;
  #waiting: { question: Question } | undefined;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #stop: AbortController | undefined;

  /** @param wait_ms - How long a hand must rest before it is asked. */
  constructor(
    send: (question: Question, signal: AbortSignal) => Promise<Answer>,
    answered: (answer: Answer, question: Question) => void,
    failed: (error: unknown) => void,
    wait_ms = 40,
  ) {
    this.#send = send;
    this.#answered = answered;
    this.#failed = failed;
    this.#wait_ms = wait_ms;
  }

  /** Asks; a question that still waits is forgotten for this one. */
  ask(question: Question): void {
    this.#waiting = { question };
    if (this.#stop) return;
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.#next(), this.#wait_ms);
  }

  /** Forgets what waits and what is under way: no answer comes any more. */
  drop(): void {
    clearTimeout(this.#timer);
    this.#waiting = undefined;
    this.#stop?.abort();
    this.#stop = undefined;
  }

  async #next(): Promise<void> {
    const next = this.#waiting;
    if (!next || this.#stop) return;
    this.#waiting = undefined;
    const stop = new AbortController();
    this.#stop = stop;
    try {
      const answer = await this.#send(next.question, stop.signal);
      if (!stop.signal.aborted) this.#answered(answer, next.question);
    } catch (error) {
      if (!stop.signal.aborted) this.#failed(error);
    }
    if (this.#stop !== stop) return;
    this.#stop = undefined;
    await this.#next();
  }
}
