// Fewer points for the same line, with a bound that holds at every moment: the line drawn is, at each time of a
// sample, no farther from it than asked for (synchronized distance, so that a cursor on the line stays true too).

/** How far sample `i` is from the straight line in time between samples `a` and `b`, in units of the bound. */
export type Miss = (i: number, a: number, b: number) => number;

/**
 * Which samples of `[first, last]` to keep so that `miss` is at most 1 everywhere. Ramer–Douglas–Peucker without
 * recursion; the ends are always kept.
 */
export function keep(first: number, last: number, miss: Miss): number[] {
  if (last < first) return [];
  if (last === first) return [first];
  const kept = new Uint8Array(last - first + 1);
  kept[0] = 1;
  kept[last - first] = 1;
  const open: [number, number][] = [[first, last]];
  for (let span = open.pop(); span; span = open.pop()) {
    const [a, b] = span;
    let worst = 1;
    let at = -1;
    for (let i = a + 1; i < b; i += 1) {
      const off = miss(i, a, b);
      if (off > worst) {
        worst = off;
        at = i;
      }
    }
    if (at < 0) continue;
    kept[at - first] = 1;
    open.push([a, at], [at, b]);
  }
  const out: number[] = [];
  for (let i = 0; i < kept.length; i += 1) if (kept[i] === 1) out.push(first + i);
  return out;
}

/** Unbroken runs of samples `[first, last]` that are known, at least two samples long. */
export function runs(length: number, known: (i: number) => boolean): [number, number][] {
  const out: [number, number][] = [];
  let first = -1;
  for (let i = 0; i <= length; i += 1) {
    const here = i < length && known(i);
    if (here && first < 0) first = i;
    if (!here && first >= 0) {
      if (i - first > 1) out.push([first, i - 1]);
      first = -1;
    }
  }
  return out;
}

/** {@link Miss} over coordinates, `bound` in their unit. */
export function missOf(bound: number, ...coordinates: readonly ArrayLike<number>[]): Miss {
  return (i, a, b) => {
    const share = (i - a) / (b - a);
    let square = 0;
    for (const values of coordinates) {
      const from = values[a] ?? NaN;
      const off = (values[i] ?? NaN) - from - share * ((values[b] ?? NaN) - from);
      square += off * off;
    }
    return Math.sqrt(square) / bound;
  };
}
