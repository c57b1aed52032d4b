// The path in space on a canvas. The only file that knows three; it loads when someone first asks for the picture.
// Nothing is drawn unless something changed: `draw` is called by whoever changed it.

import {
  BackSide,
  BufferAttribute,
  BufferGeometry,
  Color,
  DoubleSide,
  FrontSide,
  Group,
  LineBasicMaterial,
  LineSegments,
  Mesh,
  MeshBasicMaterial,
  PerspectiveCamera,
  Scene,
  Vector3,
  WebGLRenderer,
} from 'three';
import { LineMaterial } from 'three/addons/lines/LineMaterial.js';
import { LineSegments2 } from 'three/addons/lines/LineSegments2.js';
import { LineSegmentsGeometry } from 'three/addons/lines/LineSegmentsGeometry.js';
import type { Inks } from './inks';
import { eye, VIEW_DEG, type Orbit, type Vec } from './orbit';
import { curtain, line, pointOf, ribbon, rightWing, within, type Path3d, type Shape } from './path3d';

/** A stretch that is drawn thick. */
export interface Stretch {
  readonly from_s: number;
  readonly to_s: number;
  readonly chosen: boolean;
}

export interface SceneInput {
  readonly path: Path3d;
  readonly stretches: readonly Stretch[];
  /** Half of the ribbon's width, m. */
  readonly half: number;
  /** Heights are drawn so many times. */
  readonly stretch: number;
  readonly inks: Inks;
}

export class PathScene {
  readonly #renderer: WebGLRenderer;
  readonly #scene = new Scene();
  readonly #camera = new PerspectiveCamera(VIEW_DEG, 1, 1, 1e6);
  readonly #flight = new Group();
  readonly #kept: { dispose: () => void }[] = [];
  readonly #wide: LineMaterial[] = [];
  #size = { width: 1, height: 1 };
  #input: SceneInput | undefined;

  /** Throws where the browser gives no WebGL. */
  constructor(canvas: HTMLCanvasElement) {
    this.#renderer = new WebGLRenderer({ canvas, antialias: true, powerPreference: 'low-power' });
    this.#scene.add(this.#flight);
  }

  /** Ratio: px of the drawing to px of the page; less than 1 is coarser and quicker. */
  resize(width: number, height: number, ratio: number): void {
    this.#size = { width: Math.max(width, 1), height: Math.max(height, 1) };
    this.#renderer.setPixelRatio(ratio);
    this.#renderer.setSize(this.#size.width, this.#size.height, false);
    this.#camera.aspect = this.#size.width / this.#size.height;
    for (const material of this.#wide) material.resolution.set(this.#size.width, this.#size.height);
  }

  /** Builds everything anew. */
  show(input: SceneInput): void {
    this.#clear();
    this.#input = input;
    const { path, inks, stretch } = input;
    this.#renderer.setClearColor(new Color(inks.paper), 1);
    this.#flight.scale.set(1, stretch, 1);
    this.#ground(path, inks);
    this.#rest(input);
    for (const one of input.stretches) this.#stretch(input, one);
  }

  /** Draws one picture. */
  draw(orbit: Orbit): void {
    this.#look(orbit);
    this.#renderer.render(this.#scene, this.#camera);
  }

  /** Where a place is on the picture, px; undefined behind the eye. */
  project([x, y, z]: Vec): { x: number; y: number } | undefined {
    const at = new Vector3(x, y * (this.#input?.stretch ?? 1), z).project(this.#camera);
    if (at.z > 1) return undefined;
    return { x: ((at.x + 1) / 2) * this.#size.width, y: ((1 - at.y) / 2) * this.#size.height };
  }

  /** What the last picture took: triangles and draw calls. */
  get cost(): { readonly triangles: number; readonly calls: number } {
    const { triangles, calls } = this.#renderer.info.render;
    return { triangles, calls };
  }

  destroy(): void {
    this.#clear();
    this.#renderer.dispose();
  }

  #look(orbit: Orbit): void {
    const from = eye(orbit);
    const [tx, ty, tz] = orbit.target;
    this.#camera.position.set(...from);
    // From straight above, what is ahead is up.
    this.#camera.up.set(Math.sin(orbit.toward_rad) * 1e-3, 1, -Math.cos(orbit.toward_rad) * 1e-3);
    this.#camera.near = Math.max(orbit.distance / 200, 0.5);
    this.#camera.far = orbit.distance * 40 + 20_000;
    this.#camera.lookAt(tx, ty, tz);
    this.#camera.updateProjectionMatrix();
    this.#camera.updateMatrixWorld();
  }

  #geometry({ vertices, index }: Shape): BufferGeometry {
    const geometry = new BufferGeometry();
    geometry.setAttribute('position', new BufferAttribute(vertices, 3));
    geometry.setIndex(new BufferAttribute(index, 1));
    this.#kept.push(geometry);
    return geometry;
  }

  #fill(
    color: string,
    opacity: number,
    side: typeof DoubleSide | typeof FrontSide | typeof BackSide,
  ): MeshBasicMaterial {
    const material = new MeshBasicMaterial({
      color,
      side,
      opacity,
      transparent: opacity < 1,
      depthWrite: opacity >= 1,
    });
    this.#kept.push(material);
    return material;
  }

  #thin(shape: Shape, color: string): LineSegments {
    const material = new LineBasicMaterial({ color });
    this.#kept.push(material);
    return new LineSegments(this.#geometry(shape), material);
  }

  #thick(shape: Shape, color: string, width: number): LineSegments2 {
    const pairs = new Float32Array(shape.index.length * 3);
    shape.index.forEach((v, i) => {
      pairs.set(shape.vertices.subarray(3 * v, 3 * v + 3), 3 * i);
    });
    const geometry = new LineSegmentsGeometry();
    geometry.setPositions(pairs);
    const material = new LineMaterial({ color: new Color(color).getHex(), linewidth: width });
    material.resolution.set(this.#size.width, this.#size.height);
    this.#wide.push(material);
    this.#kept.push(geometry, material);
    return new LineSegments2(geometry, material);
  }

  /** The shadow on the ground, and the curtain under the whole flight. */
  #ground(path: Path3d, inks: Inks): void {
    const sheet = new Mesh(this.#geometry(curtain(path, path.runs)), this.#fill(inks.rule, 0.32, DoubleSide));
    this.#flight.add(sheet, this.#thin(line(path, path.runs, true), inks.rule));
  }

  #rest({ path, inks }: SceneInput): void {
    this.#flight.add(this.#thin(line(path, path.runs), inks.ink2));
  }

  /** A maneuver: its ribbon, dark above and lighter below, its bars from tip to tip, and a thick middle line. */
  #stretch({ path, inks, half }: SceneInput, { from_s, to_s, chosen }: Stretch): void {
    const ranges = within(path, from_s, to_s);
    if (ranges.length === 0) return;
    this.#flight.add(this.#thick(line(path, ranges), inks.ink, chosen ? 3.2 : 2.2));
    if (!chosen) return;
    const shape = ribbon(path, ranges, half);
    const geometry = this.#geometry(shape);
    const top = new Mesh(geometry, this.#fill(inks.ink3, 1, FrontSide));
    const under = new Mesh(geometry, this.#fill(inks.band, 1, BackSide));
    this.#flight.add(top, under, this.#thin(bars(path, ranges, half), inks.ink));
  }

  #clear(): void {
    for (const one of this.#kept.splice(0)) one.dispose();
    this.#wide.length = 0;
    this.#flight.clear();
  }
}

/** Lines from wing tip to wing tip, one every two seconds: they show the bank where the ribbon is seen edge-on. */
function bars(path: Path3d, ranges: readonly (readonly [number, number])[], half: number): Shape {
  const vertices: number[] = [];
  for (const [first, last] of ranges) {
    let next = -Infinity;
    for (let k = first; k <= last; k += 1) {
      if ((path.t[k] ?? 0) < next && k < last) continue;
      next = (path.t[k] ?? 0) + 2;
      const [x, y, z] = pointOf(path, k);
      const [wx, wy, wz] = rightWing(path.course_rad[k] ?? 0, path.bank_rad[k] ?? 0, half);
      vertices.push(x - wx, y - wy, z - wz, x + wx, y + wy, z + wz);
    }
  }
  return {
    vertices: Float32Array.from(vertices),
    index: Uint32Array.from({ length: vertices.length / 3 }, (_, i) => i),
  };
}
