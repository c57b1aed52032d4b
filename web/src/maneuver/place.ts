// Where words find room in a panel: beside their point or along their line, over no line and no other word.

import type { TimeAxis } from '../flight/axis';
import { level } from '../flight/scale';
import type { Panel, TraceLine } from './panels';

/** A rectangle in px of the figure. */
export interface Area {
  readonly x0: number;
  readonly x1: number;
  readonly y0: number;
  readonly y1: number;
}

/** A panel as it lies, with what already stands in it. */
export class Plot {
  readonly #panel: Panel;
  readonly #axis: TimeAxis;
  readonly #top: number;
  readonly #step_s: number;
  readonly #taken: Area[] = [];

  constructor(panel: Panel, axis: TimeAxis, top: number, step_s: number) {
    this.#panel = panel;
    this.#axis = axis;
    this.#top = top;
    this.#step_s = step_s;
  }

  take(area: Area): void {
    this.#taken.push(area);
  }

  /** y of a value on the panel's scale. */
  y(value: number): number {
    return level(value, this.#panel.scale, this.#top, this.#panel.height);
  }

  /** Highest and lowest y of a line between two px; undefined where it is unknown. */
  reach(line: TraceLine, x0: number, x1: number): { high: number; low: number } | undefined {
    const index = (x: number): number => this.#axis.toTime(x) / this.#step_s;
    const found = line.column.pyramid.extremes(Math.floor(index(x0)), Math.ceil(index(x1)));
    if (!found) return undefined;
    const scale = line.scale ?? this.#panel.scale;
    const y = (value: number): number => level(value, scale, this.#top, this.#panel.height);
    return { high: y(found.max), low: y(found.min) };
  }

  /** Whether an area lies inside the panel, on no line and on no word. */
  isFree(area: Area): boolean {
    const { left, right } = this.#axis;
    if (area.x0 < left || area.x1 > right) return false;
    if (area.y0 < this.#top - 7 || area.y1 > this.#top + this.#panel.height + 7) return false;
    const apart = (other: Area): boolean =>
      other.x1 < area.x0 || other.x0 > area.x1 || other.y1 < area.y0 || other.y0 > area.y1;
    if (!this.#taken.every(apart)) return false;
    return this.#panel.lines.every((line) => {
      const reach = this.reach(line, area.x0, area.x1);
      return !reach || reach.low < area.y0 || reach.high > area.y1;
    });
  }

  /** A place beside a point, or nothing. */
  beside(x: number, y: number, width: number, size: number): Area | undefined {
    const lefts = [x - width - 6, x + 6, x - width / 2, x + 16, x - width - 16, x + 32, x - width - 32];
    const tops = [y - size - 4, y + 4, y - size / 2, y - size - 12, y + 12];
    for (const y0 of tops) {
      for (const x0 of lefts) {
        const area = { x0, x1: x0 + width, y0, y1: y0 + size };
        const onPoint = x >= area.x0 - 4 && x <= area.x1 + 4 && y >= area.y0 - 1 && y <= area.y1 + 1;
        if (!onPoint && this.isFree(area)) return area;
      }
    }
    return undefined;
  }

  /** A place along a line, as near to it and to the middle of the plot as there is room. */
  along(line: TraceLine, width: number, size: number): Area | undefined {
    const { left, right } = this.#axis;
    const middle = (left + right) / 2;
    const places: { area: Area; cost: number }[] = [];
    for (let x0 = left + 4; x0 + width < right - 4; x0 += 8) {
      const reach = this.reach(line, x0, x0 + width);
      if (!reach) continue;
      for (const y0 of [reach.high - size - 2, reach.low + 2]) {
        const area = { x0, x1: x0 + width, y0, y1: y0 + size };
        if (!this.isFree(area)) continue;
        // A steep stretch leaves the words far from most of their line.
        places.push({ area, cost: 4 * (reach.low - reach.high) + Math.abs(x0 + width / 2 - middle) / 20 });
      }
    }
    return places.sort((a, b) => a.cost - b.cost)[0]?.area;
  }
}
