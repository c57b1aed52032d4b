// What a chart gets to draw: the samples of a window, or minima and maxima where there are more samples than the screen
// has columns. Never more than some points a column, never less than every peak.

import type { TimeAxis } from './axis';
import type { Column, Series } from './series';

/** Aligned data: one list of times, and for each column one list of values, null where unknown. */
export interface Drawn {
  readonly times: number[];
  readonly values: (number | null)[][];
}

/** The columns between the ends of an axis, as many points as `width_px` columns deserve. */
export function drawn(series: Series, columns: readonly Column[], axis: TimeAxis, width_px: number): Drawn {
  const first = Math.max(Math.floor(axis.start / series.step_s) - 1, 0);
  const last = Math.min(Math.ceil(axis.end / series.step_s) + 1, series.len - 1);
  const perColumn = (last - first) / Math.max(width_px, 1);
  const size = columns[0]?.pyramid.levelFor(perColumn)?.size;
  return size === undefined
    ? samples(series, columns, first, last)
    : buckets(series, columns, first, last, size);
}

function samples(series: Series, columns: readonly Column[], first: number, last: number): Drawn {
  const count = Math.max(last - first + 1, 0);
  return {
    times: Array.from({ length: count }, (_, i) => series.time(first + i)),
    values: columns.map(({ values }) =>
      Array.from({ length: count }, (_, i) => {
        const value = values[first + i] ?? NaN;
        return value === value ? value : null;
      }),
    ),
  };
}

/** Two points a bucket, the least and the greatest in their order. */
function buckets(
  series: Series,
  columns: readonly Column[],
  first: number,
  last: number,
  size: number,
): Drawn {
  const from = Math.floor(first / size);
  const to = Math.floor(last / size);
  const times: number[] = [];
  for (let bucket = from; bucket <= to; bucket += 1) {
    times.push(series.time((bucket + 0.25) * size), series.time((bucket + 0.75) * size));
  }
  const values = columns.map((column) => {
    const level = column.pyramid.levels.find((one) => one.size === size);
    const out: (number | null)[] = [];
    for (let bucket = from; bucket <= to; bucket += 1) {
      const min = level?.min[bucket] ?? NaN;
      const max = level?.max[bucket] ?? NaN;
      if (min !== min) out.push(null, null);
      else if (level?.minFirst[bucket]) out.push(min, max);
      else out.push(max, min);
    }
    return out;
  });
  return { times, values };
}
