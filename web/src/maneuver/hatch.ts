// The hatching of a decided excursion.

import type { Point } from '../flight/runs';

/** px between lines: 3 pt on paper. */
const APART = 4;

/** Lines at 45° inside a closed outline. */
export function hatching(outline: readonly Point[]): Point[][] {
  // Lines of constant u = x + y; along one, v = x − y runs from edge to edge.
  const along = outline.map(([x, y]): Point => [x + y, x - y]);
  const us = along.map(([u]) => u);
  const low = Math.min(...us);
  const high = Math.max(...us);
  const lines: Point[][] = [];
  if (!(high - low < 20_000)) return lines;
  for (let u = Math.ceil(low / APART) * APART + APART / 2; u < high; u += APART) {
    const crossings: number[] = [];
    along.forEach(([u0, v0], i) => {
      const next = along[(i + 1) % along.length];
      if (next && u0 <= u !== next[0] <= u) crossings.push(v0 + ((next[1] - v0) * (u - u0)) / (next[0] - u0));
    });
    crossings.sort((a, b) => a - b);
    for (let i = 0; i + 1 < crossings.length; i += 2) {
      const [a = 0, b = 0] = crossings.slice(i, i + 2);
      if (b - a > 0.5) {
        lines.push([
          [(u + a) / 2, (u - a) / 2],
          [(u + b) / 2, (u - b) / 2],
        ]);
      }
    }
  }
  return lines;
}
