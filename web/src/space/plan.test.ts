import { describe, expect, it } from 'vitest';
import { fit, lineD, overlap, panPx, placeLabels, scaleBar, toPx, zoomAt, type Wish } from './plan';

const size = { width: 340, height: 260 };
const line = {
  east: Float64Array.from({ length: 200 }, (_, i) => 100 * Math.sin(i / 20) + i * 4),
  north: Float64Array.from({ length: 200 }, (_, i) => 80 * Math.cos(i / 20) - 3000),
};

describe('plan', () => {
  it('prop: everything fits inside the margin, on one scale, north up and east right', () => {
    const view = fit([line], size, 30);
    for (let i = 0; i < 200; i += 1) {
      const { x, y } = toPx(view, size, { east: line.east[i]!, north: line.north[i]! });
      expect(x).toBeGreaterThanOrEqual(30 - 1e-6);
      expect(x).toBeLessThanOrEqual(310 + 1e-6);
      expect(y).toBeGreaterThanOrEqual(30 - 1e-6);
      expect(y).toBeLessThanOrEqual(230 + 1e-6);
    }
    const here = toPx(view, size, { east: 0, north: 0 });
    const east = toPx(view, size, { east: 100, north: 0 });
    const north = toPx(view, size, { east: 0, north: 100 });
    expect(east.x - here.x).toBeCloseTo(here.y - north.y, 9);
    expect(east.x).toBeGreaterThan(here.x);
    expect(north.y).toBeLessThan(here.y);
    expect(
      fit([{ east: new Float64Array([NaN]), north: new Float64Array([NaN]) }], size, 30).scale,
    ).toBeGreaterThan(0);
  });

  it('prop: zooming keeps the spot under the pointer; moving by px moves by px', () => {
    const view = fit([line], size, 30);
    const spot = { east: 123, north: -2990 };
    const before = toPx(view, size, spot);
    const after = toPx(zoomAt(view, size, before.x, before.y, 3.7), size, spot);
    expect(after.x).toBeCloseTo(before.x, 6);
    expect(after.y).toBeCloseTo(before.y, 6);
    const moved = toPx(panPx(view, 12, -7), size, spot);
    expect(moved.x - before.x).toBeCloseTo(12, 6);
    expect(moved.y - before.y).toBeCloseTo(-7, 6);
  });

  it('val: the scale bar is as long as its words say', () => {
    // 1 NM = 1,852 m (SI brochure, table 8); 1 ft = 0.3048 m (international foot).
    for (const scale of [0.002, 0.01, 0.05, 0.13, 0.4, 2]) {
      const { px, words } = scaleBar(scale, 110);
      const [, amount = '', unit = ''] = /([\d,]+)\u00a0(ft|NM)/.exec(words) ?? [];
      expect(px / scale).toBeCloseTo(Number(amount.replace(',', '')) * (unit === 'ft' ? 0.3048 : 1852), 6);
      expect(px).toBeLessThanOrEqual(110);
    }
  });

  it('prop: a hole is not drawn over', () => {
    const holed = { east: Float64Array.from(line.east), north: line.north };
    holed.east.fill(NaN, 50, 80);
    expect(lineD(holed, fit([line], size, 30), size).match(/M/g)).toHaveLength(2);
    expect(lineD(line, fit([line], size, 30), size, 20, 60).match(/M/g)).toHaveLength(1);
  });

  it('prop: labels do not touch each other and stay in the picture; what has no place and need not stay is left out', () => {
    const wish = (key: string, x: number, y: number, must: boolean): Wish => ({
      key,
      x,
      y,
      width: 46,
      height: 15,
      must,
    });
    const wishes = Array.from({ length: 24 }, (_, i) =>
      wish(String(i), 160 + (i % 6) * 9, 120 + Math.floor(i / 6) * 9, false),
    );
    const placed = placeLabels(wishes, [], size);
    expect(placed.length).toBeGreaterThan(6);
    expect(placed.length).toBeLessThanOrEqual(24);
    const boxes = placed.map(({ left, top, width, height }) => ({
      x0: left,
      y0: top,
      x1: left + width,
      y1: top + height,
    }));
    boxes.forEach((a, i) => {
      expect(a.x0).toBeGreaterThanOrEqual(0);
      expect(a.y1).toBeLessThanOrEqual(size.height);
      boxes.slice(i + 1).forEach((b) => expect(overlap(a, b)).toBe(false));
    });
    const all = placeLabels(
      wishes.map((one) => ({ ...one, must: true })),
      [],
      size,
    );
    expect(all).toHaveLength(24);
    // Outside the picture there is nothing to label.
    expect(placeLabels([wish('far', -200, 40, true)], [], size)).toHaveLength(0);
  });
});
