// Traces as SVG paths, for paper: the same data and thinning as on the screen's canvases.

import { drawn } from '../flight/lod';
import { pathOf, runsOf } from '../flight/runs';
import { level } from '../flight/scale';
import type { Series } from '../flight/series';
import type { FigureLayout } from './figure';

export interface TracePath {
  readonly d: string;
  readonly weight: string;
}

export function tracePaths({ panels, axis }: FigureLayout, series: Series): TracePath[] {
  return panels.flatMap(({ panel, top }) =>
    panel.lines.map((line) => {
      const data = drawn(series, [line.column], axis, axis.right - axis.left);
      const y = (value: number): number => {
        const at = level(value, line.scale ?? panel.scale, top, panel.height);
        // A line may leave its panel by a little, never run through another.
        return at < top - 3 || at > top + panel.height + 3 ? NaN : at;
      };
      const samples = {
        length: data.times.length,
        time: (i: number) => data.times[i] ?? NaN,
        value: (i: number) => {
          const value = data.values[0]?.[i] ?? NaN;
          return Number.isNaN(y(value)) ? NaN : value;
        },
      };
      return { d: pathOf(runsOf(axis, samples, y)), weight: line.weight };
    }),
  );
}
