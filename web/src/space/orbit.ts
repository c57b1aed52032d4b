// The eye that looks at the path: around a point, from a direction, at a distance. Pure.

export type Vec = readonly [number, number, number];

export interface Orbit {
  readonly target: Vec;
  /** m. */
  readonly distance: number;
  /** Where the eye looks toward, rad from north through east. */
  readonly toward_rad: number;
  /** How high above the horizontal the eye stands, rad. */
  readonly above_rad: number;
}

/** Vertical field of view, degrees. */
export const VIEW_DEG = 36;
const HIGHEST = Math.PI / 2 - 0.001;
const LOWEST = 0.015;

/** Where the eye is (x east, y up, z south). */
export function eye({ target, distance, toward_rad, above_rad }: Orbit): [number, number, number] {
  const out = distance * Math.cos(above_rad);
  return [
    target[0] - out * Math.sin(toward_rad),
    target[1] + distance * Math.sin(above_rad),
    target[2] + out * Math.cos(toward_rad),
  ];
}

/** Turns around the target; never below the ground's horizon nor over the top. */
export function turned(orbit: Orbit, right_rad: number, up_rad: number): Orbit {
  return {
    ...orbit,
    toward_rad: orbit.toward_rad + right_rad,
    above_rad: Math.min(Math.max(orbit.above_rad + up_rad, LOWEST), HIGHEST),
  };
}

/** Nearer (below 1) or farther. */
export function nearer(orbit: Orbit, factor: number, least: number, most: number): Orbit {
  return { ...orbit, distance: Math.min(Math.max(orbit.distance * factor, least), most) };
}

/** Moves the target level over the ground: right and forward as the eye sees it, m. */
export function moved(orbit: Orbit, right: number, forward: number): Orbit {
  const sin = Math.sin(orbit.toward_rad);
  const cos = Math.cos(orbit.toward_rad);
  const [x, y, z] = orbit.target;
  return { ...orbit, target: [x + right * cos + forward * sin, y, z + right * sin - forward * cos] };
}

/** The distance at which a ball fits into the picture. */
export function fitting(radius: number, aspect: number): number {
  const vertical = (VIEW_DEG * Math.PI) / 360;
  const narrow = Math.min(vertical, Math.atan(Math.tan(vertical) * aspect));
  return (radius * 1.08) / Math.sin(narrow);
}

/** From behind and a little above the aircraft. */
export function behind(place: Vec, course_rad: number, distance: number): Orbit {
  return { target: place, distance, toward_rad: course_rad, above_rad: 0.2 };
}

/** From straight above, north up. */
export function above(middle: Vec, radius: number, aspect: number): Orbit {
  return { target: middle, distance: fitting(radius, aspect), toward_rad: 0, above_rad: HIGHEST };
}

/** From the side: across the course, nearly level. */
export function beside(middle: Vec, radius: number, aspect: number, course_rad: number): Orbit {
  return {
    target: middle,
    distance: fitting(radius, aspect),
    toward_rad: course_rad - Math.PI / 2,
    above_rad: 0.06,
  };
}

/** From a corner, so that height and ground are both seen. */
export function aslant(middle: Vec, radius: number, aspect: number, course_rad: number): Orbit {
  return {
    target: middle,
    distance: fitting(radius, aspect),
    toward_rad: course_rad - Math.PI / 3,
    above_rad: 0.45,
  };
}
