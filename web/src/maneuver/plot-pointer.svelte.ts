// What a pointer does over the plot: press or drag moves the cursor, a drag over the traces chooses a stretch to zoom
// into, with Shift it pans; the wheel zooms; two fingers zoom and pan; a double click shows the whole maneuver again.

import type { TimeAxis } from '../flight/axis';
import type { Room } from '../flight/room.svelte';
import { Fingers } from './fingers';

/** A drag shorter than this is a press, px. */
const PRESS_PX = 4;
/** One notch of a wheel. */
const NOTCH = 1.2;

type Doing = 'cursor' | 'brush' | 'pan';

export class PlotPointer {
  /** The stretch being chosen, px of the figure. */
  brush: { x0: number; x1: number } | undefined = $state.raw(undefined);

  readonly #room: () => Room;
  readonly #axis: () => TimeAxis;
  readonly #tracesTop: () => number;
  #doing: Doing | undefined;
  #from = 0;
  readonly #fingers = new Fingers();

  constructor(room: () => Room, axis: () => TimeAxis, tracesTop: () => number) {
    this.#room = room;
    this.#axis = axis;
    this.#tracesTop = tracesTop;
  }

  readonly down = (event: PointerEvent): void => {
    if (event.button !== 0) return;
    const plot = event.currentTarget as HTMLElement;
    plot.setPointerCapture(event.pointerId);
    const x = this.#x(event);
    this.#fingers.put(event.pointerId, x);
    this.#room().pause();
    this.#from = x;
    const y = event.clientY - plot.getBoundingClientRect().top + plot.offsetTop;
    const inTraces = y >= this.#tracesTop() && y <= plot.offsetTop + plot.offsetHeight - 22;
    this.#doing = event.shiftKey ? 'pan' : inTraces && event.pointerType === 'mouse' ? 'brush' : 'cursor';
    if (this.#doing === 'cursor' && this.#fingers.count === 1) this.#room().moveTo(this.#axis().toTime(x));
  };

  readonly move = (event: PointerEvent): void => {
    if (!this.#fingers.has(event.pointerId)) return;
    const x = this.#x(event);
    if (this.#fingers.count === 2) this.#pinch(event.pointerId, x);
    else if (this.#doing === 'cursor') this.#room().moveTo(this.#axis().toTime(x));
    else if (this.#doing === 'brush') {
      const far = Math.abs(x - this.#from) >= PRESS_PX;
      this.brush = far ? { x0: Math.min(x, this.#from), x1: Math.max(x, this.#from) } : undefined;
    } else if (this.#doing === 'pan') {
      this.#room().panBy(this.#axis().toTime(this.#from) - this.#axis().toTime(x));
      this.#from = x;
    }
    this.#fingers.put(event.pointerId, x);
  };

  readonly up = (event: PointerEvent): void => {
    if (!this.#fingers.lift(event.pointerId)) return;
    const axis = this.#axis();
    if (this.#doing === 'brush' && this.brush) {
      this.#room().zoomTo(axis.toTime(this.brush.x0), axis.toTime(this.brush.x1));
    } else if (this.#doing === 'brush') this.#room().moveTo(axis.toTime(this.#x(event)));
    this.#rest();
  };

  readonly cancel = (event: PointerEvent): void => {
    this.#fingers.lift(event.pointerId);
    this.#rest();
  };

  /** The whole maneuver again. */
  readonly back = (): void => {
    this.#room().unzoom();
  };

  /** Attaches the wheel: it must be able to keep the page from scrolling, which only a listener of its own may. */
  readonly wheel = (plot: HTMLElement): (() => void) => {
    const turn = (event: WheelEvent): void => {
      const y = event.clientY - plot.getBoundingClientRect().top + plot.offsetTop;
      // Over the ribbons the page scrolls; a trackpad's pinch (Ctrl) zooms anywhere.
      if (y < this.#tracesTop() && !event.ctrlKey && event.deltaX === 0) return;
      event.preventDefault();
      const axis = this.#axis();
      const sideways = event.shiftKey ? event.deltaY : event.deltaX;
      if (Math.abs(sideways) > Math.abs(event.shiftKey ? 0 : event.deltaY)) {
        const { from_s, to_s } = this.#room().span;
        this.#room().panBy((sideways / Math.max(axis.right - axis.left, 1)) * (to_s - from_s));
      } else if (event.deltaY !== 0) {
        const notches = Math.min(Math.max(event.deltaY / 100, -3), 3);
        this.#room().zoomAround(axis.toTime(this.#x(event)), NOTCH ** notches);
      }
    };
    plot.addEventListener('wheel', turn, { passive: false });
    return () => {
      plot.removeEventListener('wheel', turn);
    };
  };

  #pinch(id: number, x: number): void {
    const before = this.#fingers.at(id);
    const other = this.#fingers.other(id);
    if (before === undefined || other === undefined) return;
    this.#doing = undefined;
    const was = Math.max(Math.abs(before - other), 20);
    const is = Math.max(Math.abs(x - other), 20);
    this.#room().zoomAround(this.#axis().toTime(other), was / is);
  }

  #rest(): void {
    this.brush = undefined;
    this.#doing = undefined;
  }

  /** x within the figure, px. */
  #x(event: MouseEvent): number {
    const plot = event.currentTarget as HTMLElement;
    return event.clientX - plot.getBoundingClientRect().left + plot.offsetLeft;
  }
}
