import { describe, expect, it } from 'vitest';
import { debriefOf, maneuverOf } from '../flight/document.fixture';
import { readSeries } from '../flight/series';
import { seriesBytes } from '../flight/series.fixture';
import { storyOf } from '../flight/story';
import { maneuverAxis } from '../flight/stretch';
import { Watch } from '../flight/watch';
import { figureLayout, frameFor } from './figure';
import { panelsOf } from './panels';
import { rowsOf } from './ribbon';
import { tracePaths } from './trace-paths';

const LEN = 2_000;
const at = (value: (t: number) => number): Float32Array =>
  Float32Array.from({ length: LEN }, (_, i) => value(i * 0.1));
const series = readSeries(
  seriesBytes(
    [
      { id: 'altitude_ft', unit: 'ft', values: at((t) => 3800 - Math.max(t - 150, 0) * 10) },
      { id: 'ias_kt', unit: 'kt', values: at((t) => 70 - 20 * Math.exp(-(((t - 165) / 8) ** 2))) },
      { id: 'stall_margin_percent', unit: '%', origin: 'derived', values: at((t) => (t - 165) ** 2 / 10) },
      { id: 'pitch_deg', unit: 'deg', values: at((t) => (t > 166 && t < 170 ? -20 : 8)) },
      { id: 'bank_deg', unit: 'deg', values: at((t) => (Math.abs(t - 168) < 1 ? 38 : 0)) },
      { id: 'rpm', unit: 'rpm', values: at((t) => (t > 168 ? 2450 : 700)) },
      { id: 'flap_deg', unit: 'deg', origin: 'derived', values: at(() => 40) },
      { id: 'flap_out_probability', origin: 'derived', values: at(() => 0.9) },
    ],
    0.1,
  ),
);
const maneuver = maneuverOf();
const span = { from_s: maneuver.start_s, to_s: maneuver.end_s };
const panels = panelsOf(debriefOf(), maneuver, series, span);

function layoutAt(width: number) {
  const frame = frameFor(width, 12);
  return figureLayout({
    maneuver,
    rows: rowsOf(maneuver),
    panels,
    story: storyOf(maneuver),
    axis: maneuverAxis(maneuver, frame.x0, frame.x1),
    frame,
    watch: new Watch('2025-09-04T14:04:43Z'),
    width: (words, size, bold) => words.length * size * (bold ? 0.52 : 0.48),
    step_s: 0.1,
  });
}

describe('panels', () => {
  it('prop: a panel for each quantity that the recording supports, none for what it does not', () => {
    expect(panels.map(({ id }) => id)).toEqual([
      'height',
      'airspeed',
      'stall_margin',
      'pitch',
      'bank',
      'power',
      'flaps',
    ]);
  });

  it('prop: flaps that nobody recorded are a chance, dashed, and no line of degrees', () => {
    const flaps = panels.find(({ id }) => id === 'flaps');
    expect(flaps?.second).toContain('inferred');
    expect(flaps?.lines.map(({ weight, column }) => [weight, column.header.id])).toEqual([
      ['dashed', 'flap_out_probability'],
    ]);
    expect(panels.flatMap(({ lines }) => lines).some(({ column }) => column.header.id === 'flap_deg')).toBe(
      false,
    );
  });

  it('prop: the stall speed of the moment is airspeed over one plus the margin', () => {
    const line = panels[1]?.lines[1];
    expect(line?.column.header.origin).toBe('derived');
    const t = 155;
    const expected = series.at('ias_kt', t) / (1 + series.at('stall_margin_percent', t) / 100);
    expect(line?.column.values[series.index(t)]).toBeCloseTo(expected, 3);
  });

  it('prop: the heights written are those of the break and of the lowest point after it', () => {
    expect(panels[0]?.notes.map(({ words }) => words)).toEqual(['3,650', '3,550']);
    expect(panels[0]?.margin[0]?.words.replaceAll('\u00a0', ' ')).toBe('216 ± 6 ft true loss');
  });
});

describe('figure', () => {
  it.each([560, 714, 980])('prop: at %i px nothing overlaps and nothing leaves the figure', (width) => {
    const { rows, panels: placed, events, frame, bottom, height } = layoutAt(width);
    const boxes = [
      ...rows.map(({ top, height: tall }) => [top, top + tall] as const),
      ...placed.map(({ top, panel }) => [top, top + panel.height] as const),
    ];
    boxes.slice(1).forEach(([top], i) => expect(top).toBeGreaterThanOrEqual(boxes[i]?.[1] ?? Infinity));
    expect(bottom).toBeGreaterThanOrEqual(boxes.at(-1)?.[1] ?? Infinity);
    expect(height).toBeGreaterThan(bottom);
    events
      .slice(1)
      .forEach(({ place }, i) => expect(place - (events[i]?.place ?? 0)).toBeGreaterThanOrEqual(16 - 1e-9));
    for (const { notes } of placed) {
      for (const note of notes) {
        if (note.words === '') continue;
        expect(note.x).toBeGreaterThanOrEqual(frame.x0);
        expect(note.x).toBeLessThan(frame.x1);
      }
    }
    for (const row of rows) expect(row.name.join(' ')).toBe('Heading to the stall');
  });

  it('prop: words of a panel stand on no line of it', () => {
    const { panels: placed } = layoutAt(714);
    const paths = tracePaths(layoutAt(714), series);
    let line = 0;
    for (const { panel, names, notes } of placed) {
      const own = paths.slice(line, line + panel.lines.length);
      line += panel.lines.length;
      const points = own.flatMap(({ d }) =>
        [...d.matchAll(/[ML](-?[\d.]+) (-?[\d.]+)/g)].map(
          (match) => [Number(match[1]), Number(match[2])] as const,
        ),
      );
      for (const word of [...names, ...notes.filter((note) => note.words !== '')]) {
        const x1 = word.x + word.words.length * 12 * 0.48;
        const inside = points.filter(([x, y]) => x > word.x && x < x1 && y > word.y - 12 && y < word.y);
        expect(inside).toEqual([]);
      }
    }
  });

  it('prop: traces on paper break at a seam and stay in their panel', () => {
    const layout = layoutAt(714);
    const paths = tracePaths(layout, series);
    expect(paths).toHaveLength(panels.flatMap(({ lines }) => lines).length);
    expect((paths[0]?.d.match(/M/g) ?? []).length).toBe(layout.axis.pieces.length);
  });
});
