// The aircraft at the cursor, as outlines over the picture: it moves alone while the eye stands still, so that nothing
// else need be drawn anew. Pure.

import type { Vec } from './orbit';

/** The aircraft at a moment. */
export interface Craft {
  readonly place: Vec;
  /** Where the nose points, rad true. */
  readonly heading_rad: number;
  readonly pitch_rad: number;
  readonly bank_rad: number;
}

/** Body axes: x to the right wing, y up, z to the tail, in half spans. */
const WINGS: readonly Vec[] = [
  [-1, 0, 0.1],
  [0, 0, -0.3],
  [1, 0, 0.1],
  [0, 0, 0.16],
];
const BODY: readonly Vec[] = [
  [-0.09, 0, -0.45],
  [0, 0, -0.72],
  [0.09, 0, -0.45],
  [0, 0, 0.98],
];
const TAIL: readonly Vec[] = [
  [-0.36, 0, 0.95],
  [0, 0, 0.72],
  [0.36, 0, 0.95],
];
const FIN: readonly Vec[] = [
  [0, 0, 0.62],
  [0, 0.34, 0.98],
  [0, 0, 0.98],
];

/** Turns a place of the body into one of the world: bank first, then pitch, then heading. */
export function fromBody(
  { place, heading_rad, pitch_rad, bank_rad }: Craft,
  [x, y, z]: Vec,
): [number, number, number] {
  const [cb, sb] = [Math.cos(bank_rad), Math.sin(bank_rad)];
  // Right wing down.
  const bx = x * cb + y * sb;
  const by = -x * sb + y * cb;
  const [cp, sp] = [Math.cos(pitch_rad), Math.sin(pitch_rad)];
  // Nose (at negative z) up.
  const py = by * cp - z * sp;
  const pz = by * sp + z * cp;
  const [ch, sh] = [Math.cos(heading_rad), Math.sin(heading_rad)];
  return [place[0] + bx * ch - pz * sh, place[1] + py, place[2] + bx * sh + pz * ch];
}

type Project = (at: Vec) => { readonly x: number; readonly y: number } | undefined;

/** The outlines on the picture as the `d` of an SVG path; empty where any of it is behind the eye. */
export function craftD(craft: Craft, half: number, project: Project): string {
  const out: string[] = [];
  for (const shape of [WINGS, BODY, TAIL, FIN]) {
    const points = shape.map(([x, y, z]) => project(fromBody(craft, [x * half, y * half, z * half])));
    for (const [i, point] of points.entries()) {
      if (!point) return '';
      out.push(`${i === 0 ? 'M' : 'L'}${point.x.toFixed(1)} ${point.y.toFixed(1)}`);
    }
    out.push('Z');
  }
  return out.join('');
}
