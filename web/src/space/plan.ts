// The layout of the plan: paths, scale bar, and labels that keep off the lines and off each other. Pure.

import { number } from '../shared/format';
import { FT_PER_M, type Paths, type Spot } from './path';
import { keep, missOf, runs } from './thin';

/** Width of words in px at a size. */
export type TextWidth = (words: string, size: number, bold?: boolean) => number;

/** What part of the map is seen: north up, the middle of the picture, and px a meter. */
export interface MapView {
  readonly east: number;
  readonly north: number;
  readonly scale: number;
}

export interface Size {
  readonly width: number;
  readonly height: number;
}

interface Line {
  readonly east: Float64Array;
  readonly north: Float64Array;
}

/** The view that shows all of some lines, with room at the edges. */
export function fit(lines: readonly Line[], size: Size, margin: number): MapView {
  let [west, east, south, north] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const line of lines) {
    for (let i = 0; i < line.east.length; i += 1) {
      const e = line.east[i] ?? NaN;
      const n = line.north[i] ?? NaN;
      if (!Number.isFinite(e + n)) continue;
      west = Math.min(west, e);
      east = Math.max(east, e);
      south = Math.min(south, n);
      north = Math.max(north, n);
    }
  }
  if (west > east) return { east: 0, north: 0, scale: 0.1 };
  // 60 m at least: an aircraft that hardly moves needs no microscope.
  const across = Math.max(east - west, 60);
  const up = Math.max(north - south, 60);
  const scale = Math.min(
    Math.max(size.width - 2 * margin, 20) / across,
    Math.max(size.height - 2 * margin, 20) / up,
  );
  return { east: (west + east) / 2, north: (south + north) / 2, scale };
}

/** Map to px. */
export function toPx(view: MapView, size: Size, { east, north }: Spot): { x: number; y: number } {
  return {
    x: size.width / 2 + (east - view.east) * view.scale,
    y: size.height / 2 - (north - view.north) * view.scale,
  };
}

/** Zooms by a factor (over 1 = closer) so that the spot under a px stays there. */
export function zoomAt(view: MapView, size: Size, x: number, y: number, factor: number): MapView {
  const east = view.east + (x - size.width / 2) / view.scale;
  const north = view.north - (y - size.height / 2) / view.scale;
  const scale = view.scale * factor;
  return {
    east: east - (x - size.width / 2) / scale,
    north: north + (y - size.height / 2) / scale,
    scale,
  };
}

/** Moves the picture by px. */
export function panPx(view: MapView, dx: number, dy: number): MapView {
  return { ...view, east: view.east - dx / view.scale, north: view.north + dy / view.scale };
}

/** The `d` of a line, thinned to a third of a px, broken at holes; samples `from` to `to` where given. */
export function lineD(line: Line, view: MapView, size: Size, from = 0, to = line.east.length - 1): string {
  const known = (i: number): boolean =>
    i >= from && i <= to && Number.isFinite((line.east[i] ?? NaN) + (line.north[i] ?? NaN));
  const miss = missOf(0.33 / view.scale, line.east, line.north);
  return runs(Math.min(to + 1, line.east.length), known)
    .map(([first, last]) =>
      keep(first, last, miss)
        .map((i, place) => {
          const { x, y } = toPx(view, size, { east: line.east[i] ?? 0, north: line.north[i] ?? 0 });
          return `${place === 0 ? 'M' : 'L'}${x.toFixed(1)} ${y.toFixed(1)}`;
        })
        .join(''),
    )
    .join('');
}

export interface ScaleBar {
  readonly px: number;
  readonly words: string;
}

const BARS: readonly (readonly [m: number, words: string])[] = [
  ...[50, 100, 200, 500, 1000, 2000].map((ft) => [ft / FT_PER_M, `${number(ft)}\u00a0ft`] as const),
  ...[1, 2, 5, 10, 20, 50].map((nm) => [nm * 1852, `${String(nm)}\u00a0NM`] as const),
];

/** The scale bar's most, as a share of the picture's width. */
export const BAR_SHARE = 0.3;

/** The longest round length that is at most `most` px: feet, then nautical miles. */
export function scaleBar(scale: number, most: number): ScaleBar {
  const [m, words] = BARS.findLast(([length]) => length * scale <= most) ?? BARS[0] ?? [15.24, '50\u00a0ft'];
  return { px: m * scale, words };
}

/** A label that wants to stand beside a point. */
export interface Wish {
  readonly key: string;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  /** Stays even where there is no good place. */
  readonly must: boolean;
}

export interface Placed extends Wish {
  /** Left and top of the label. */
  readonly left: number;
  readonly top: number;
  /** Where a leader meets the label; none where the label is near enough. */
  readonly leader: { readonly x: number; readonly y: number } | undefined;
}

const RADII = [7, 13, 22, 34, 48];
const ANGLES = Array.from({ length: 12 }, (_, i) => (i * Math.PI) / 6);

interface Box {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/** Whether two boxes overlap. */
export function overlap(a: Box, b: Box): boolean {
  return a.x0 < b.x1 && a.x1 > b.x0 && a.y0 < b.y1 && a.y1 > b.y0;
}

/**
 * Finds places for labels in the order given: inside the picture, off the labels before, off the lines (`dots` are
 * points along them). A label without a free place is left out unless it must stay.
 */
export function placeLabels(
  wishes: readonly Wish[],
  dots: readonly { x: number; y: number }[],
  size: Size,
  taken: readonly Box[] = [],
): Placed[] {
  const boxes: Box[] = [...taken];
  const out: Placed[] = [];
  for (const wish of wishes) {
    if (wish.x < -2 || wish.y < -2 || wish.x > size.width + 2 || wish.y > size.height + 2) continue;
    const best = bestPlace(wish, dots, boxes, size);
    if (!best || (best.cost >= 1000 && !wish.must)) continue;
    boxes.push(grown(best.box, 1));
    const leader = best.radius > 10 ? nearest(best.box, wish) : undefined;
    out.push({ ...wish, left: best.box.x0, top: best.box.y0, leader });
  }
  return out;
}

function bestPlace(
  wish: Wish,
  dots: readonly { x: number; y: number }[],
  boxes: readonly Box[],
  size: Size,
): { box: Box; radius: number; cost: number } | undefined {
  let best: { box: Box; radius: number; cost: number } | undefined;
  for (const radius of RADII) {
    for (const angle of ANGLES) {
      const box = boxAt(wish, radius, angle);
      let cost = radius * 0.12;
      if (box.x0 < 0 || box.y0 < 0 || box.x1 > size.width || box.y1 > size.height) cost += 1000;
      if (boxes.some((other) => overlap(box, other))) cost += 1000;
      if (best && cost >= best.cost) continue;
      const wide = grown(box, 2);
      for (const { x, y } of dots) if (x > wide.x0 && x < wide.x1 && y > wide.y0 && y < wide.y1) cost += 2;
      if (!best || cost < best.cost) best = { box, radius, cost };
    }
    if (best && best.cost < 2) break;
  }
  return best;
}

/** The label whose edge stands `radius` from the point, in a direction. */
function boxAt({ x, y, width, height }: Wish, radius: number, angle: number): Box {
  const cos = Math.cos(angle);
  const sin = Math.sin(angle);
  const cx = x + cos * radius + (cos * width) / 2;
  const cy = y + sin * radius + (sin * height) / 2;
  return { x0: cx - width / 2, y0: cy - height / 2, x1: cx + width / 2, y1: cy + height / 2 };
}

function grown(box: Box, by: number): Box {
  return { x0: box.x0 - by, y0: box.y0 - by, x1: box.x1 + by, y1: box.y1 + by };
}

function nearest(box: Box, { x, y }: { x: number; y: number }): { x: number; y: number } {
  return { x: Math.min(Math.max(x, box.x0), box.x1), y: Math.min(Math.max(y, box.y0), box.y1) };
}

/** Points every few px along the paths, for keeping labels off them. */
export function dotsOf(paths: Paths, view: MapView, size: Size, apart = 5): { x: number; y: number }[] {
  const out: { x: number; y: number }[] = [];
  for (const line of paths.air ? [paths, paths.air] : [paths]) {
    let last = { x: -1e9, y: -1e9 };
    for (let i = 0; i < paths.length; i += 1) {
      const here = toPx(view, size, { east: line.east[i] ?? NaN, north: line.north[i] ?? NaN });
      if (!(Math.hypot(here.x - last.x, here.y - last.y) >= apart)) continue;
      last = here;
      if (here.x > -20 && here.y > -20 && here.x < size.width + 20 && here.y < size.height + 20)
        out.push(here);
    }
  }
  return out;
}
