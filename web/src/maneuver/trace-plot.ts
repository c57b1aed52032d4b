// One panel's lines on a canvas, by uPlot: its axis of time is ours (stretched by phase), its data come already thinned
// to what the columns of the screen can show. Measured: docs of the pages, "Speed".

import uPlot from 'uplot';
import type { TimeAxis } from '../flight/axis';
import { drawn } from '../flight/lod';
import type { Series } from '../flight/series';
import type { Panel, TraceLine, Weight } from './panels';

/** Ink by role, read from the page so that dark, light and print follow. */
export interface Inks {
  readonly ink: string;
  readonly ink2: string;
}

const STROKES: Record<Weight, { width: number; dash?: number[]; role: keyof Inks }> = {
  heavy: { width: 1.6, role: 'ink' },
  thin: { width: 0.9, role: 'ink2' },
  dashed: { width: 1.1, dash: [5, 4], role: 'ink2' },
};

/** The inks of an element. */
export function inksOf(element: Element): Inks {
  const style = getComputedStyle(element);
  return { ink: style.getPropertyValue('--ink').trim(), ink2: style.getPropertyValue('--ink-2').trim() };
}

export class TracePlot {
  #plot: uPlot | undefined;
  #axis: TimeAxis;
  #panel: Panel;
  #inks: Inks;
  readonly #host: HTMLElement;

  constructor(host: HTMLElement, panel: Panel, axis: TimeAxis) {
    this.#host = host;
    this.#panel = panel;
    this.#axis = axis;
    this.#inks = inksOf(host);
  }

  /** Shows a panel on an axis; builds the chart anew only where its lines are others. */
  show(series: Series, panel: Panel, axis: TimeAxis): void {
    const width = Math.max(Math.round(axis.right - axis.left), 1);
    const same =
      this.#plot !== undefined && sameLines(panel.lines, this.#panel.lines) && this.#plot.width === width;
    this.#panel = panel;
    this.#axis = axis;
    const data = drawn(
      series,
      panel.lines.map((line) => line.column),
      axis,
      width,
    );
    const aligned: uPlot.AlignedData = [data.times, ...data.values];
    if (same) this.#plot?.setData(aligned, true);
    else {
      this.destroy();
      this.#plot = new uPlot(this.#options(width), aligned, this.#host);
    }
  }

  /** Draws again with the page's inks of now. */
  recolor(): void {
    this.#inks = inksOf(this.#host);
    this.#plot?.redraw(false);
  }

  destroy(): void {
    this.#plot?.destroy();
    this.#plot = undefined;
  }

  #options(width: number): uPlot.Options {
    const { lines, height } = this.#panel;
    const scales: uPlot.Scales = {
      x: {
        time: false,
        distr: 100,
        fwd: (t) => this.#axis.extended(t),
        bwd: (px) => this.#axis.toTime(px),
        range: () => [this.#axis.start, this.#axis.end],
      },
    };
    lines.forEach((_, i) => {
      scales[`y${String(i)}`] = {
        range: () => {
          const [low, high] = this.#panel.lines[i]?.scale ?? this.#panel.scale;
          return [low, high];
        },
      };
    });
    return {
      width,
      height,
      padding: [0, 0, 0, 0],
      pxAlign: 0,
      scales,
      axes: [{ show: false }, ...lines.map((_, i) => ({ show: false, scale: `y${String(i)}` }))],
      legend: { show: false },
      cursor: { show: false },
      series: [{}, ...lines.map((line, i) => this.#line(line, i))],
    };
  }

  #line(line: TraceLine, index: number): uPlot.Series {
    const { width, dash, role } = STROKES[line.weight];
    return {
      scale: `y${String(index)}`,
      stroke: () => this.#inks[role],
      width,
      ...(dash ? { dash } : {}),
      points: { show: false },
      spanGaps: false,
      pxAlign: 0,
      // A seam of the axis is no flying: nothing is drawn across it.
      gaps: (plot, _series, _from, _to, holes) =>
        [...holes, ...this.#seams(plot)].sort((a, b) => a[0] - b[0]),
    };
  }

  #seams(plot: uPlot): uPlot.Series.Gaps {
    const { pieces, left } = this.#axis;
    const scale = plot.bbox.width / Math.max(this.#axis.right - left, 1);
    return pieces.slice(1).map((piece, i) => {
      const before = pieces[i] ?? piece;
      return [plot.bbox.left + (before.x1 - left) * scale, plot.bbox.left + (piece.x0 - left) * scale];
    });
  }
}

function sameLines(a: readonly TraceLine[], b: readonly TraceLine[]): boolean {
  return (
    a.length === b.length && a.every((line, i) => line.column === b[i]?.column && line.weight === b[i].weight)
  );
}
