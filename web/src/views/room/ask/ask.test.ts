import { describe, expect, test } from 'vitest';
import { maneuverOf, markOf } from '../../../flight/document.fixture';
import type { Finding, Maneuver } from '../../../flight/document';
import type { Said } from '../../../shared/api/types';
import { amount, compared, LIMIT, NONE, recordedWords, saidOf, ticked, WHY } from './answers';
import { causesOf, causeWords, closest } from './causes';
import { questionsOf } from './questions';
import { scaleLayout } from './scale';

const turn = (more: Partial<Maneuver> = {}): Maneuver =>
  maneuverOf({
    kind: 'steep_turn',
    direction: 'left',
    facts: {},
    marks: [
      markOf({ element: 'PA.V.A.S1', criterion: 'area_cleared', mark: 'for_instructor', worst: null }),
      markOf({ element: 'PA.V.A.S5', criterion: 'altitude', unit: 'ft', target: 3973, low: 3873, high: 4073, worst: 3857, sigma: 3, mark: 'not_met' }), // prettier-ignore
      markOf({ element: 'PA.V.A.S5', criterion: 'airspeed', unit: 'kt', target: 102, low: 92, high: 112, worst: 95.5, sigma: 0.9, mark: 'met' }), // prettier-ignore
      markOf({ element: 'PA.V.A.S5', criterion: 'bank', target: -45, low: -50, high: -40, worst: -47, sigma: 1, mark: 'met' }), // prettier-ignore
      markOf({ element: 'PA.V.A.S5', criterion: 'rollout_heading', target: 41, low: 31, high: 51, worst: 47.1, sigma: 1, mark: 'met' }), // prettier-ignore
      markOf({
        element: 'PA.V.A.S3',
        criterion: 'coordination',
        unit: 'g',
        worst: null,
        mark: 'not_recorded',
      }),
    ],
    findings: [{ id: 'altitude_drift', headline: 'The altitude drifted in the turn' } as Finding],
    ...more,
  });

describe('questions', () => {
  test('val: a steep turn asks for altitude, bank, roll-out and speed; a stall for height lost first', () => {
    expect(questionsOf(turn()).numbers.map(({ id }) => id)).toEqual([
      'altitude',
      'bank',
      'rollout_heading',
      'airspeed',
    ]);
    expect(questionsOf(maneuverOf()).numbers.map(({ id }) => id)).toEqual(['height_lost', 'heading']);
  });

  test('val: 116 ft low; 47° whichever way it turned; past or short the way the turn goes', () => {
    const words = questionsOf(turn()).numbers.map(recordedWords);
    expect(words[0]).toBe('116\u00a0±\u00a03\u00a0ft low');
    expect(words[1]).toBe('47°\u00a0±\u00a01°');
    // A left turn passes 047° before it comes to 041°.
    expect(words[2]).toMatch(/short$/);
    expect(questionsOf(turn({ direction: 'right' })).numbers.map(recordedWords)[2]).toMatch(/past$/);
  });

  test('prop: nothing of a question but its answer depends on what was flown', () => {
    const plain = (maneuver: Maneuver) =>
      questionsOf(maneuver).numbers.map((one) => ({ ...one, recorded: undefined }));
    const marks = turn().marks.map((mark) =>
      mark.worst === null ? mark : { ...mark, worst: (mark.worst ?? 0) * 1.4, mark: 'not_met' as const },
    );
    expect(plain(turn({ marks }))).toEqual(plain(turn()));
    expect(questionsOf(turn({ marks })).limits).toEqual(questionsOf(turn()).limits);
  });

  test('prop: only what the recording decides can be named as broken, and nothing unknown is asked', () => {
    const { limits, numbers } = questionsOf(turn());
    expect(limits.map(({ criterion }) => criterion)).toEqual([
      'altitude',
      'airspeed',
      'bank',
      'rollout_heading',
    ]);
    expect(numbers.every(({ recorded }) => Number.isFinite(recorded.value))).toBe(true);
    const blank = maneuverOf({ kind: 'chandelle', facts: {}, marks: [markOf({ worst: null })] });
    expect(questionsOf(blank).numbers).toEqual([]);
  });

  test('prop: one question about the bank is enough', () => {
    const both = maneuverOf({
      marks: ['bank', 'bank_max_20'].map((criterion) => markOf({ criterion, worst: 19.7 })),
    });
    expect(questionsOf(both).numbers.map(({ id }) => id)).toEqual(['height_lost', 'bank']);
  });
});

describe('causes', () => {
  test('prop: those of the kind, each once; the closest are those of the limits that were named', () => {
    const causes = causesOf(turn());
    expect(new Set(causes.map(({ id }) => id)).size).toBe(causes.length);
    expect(causes.map(({ id }) => id)).not.toContain('stall_held');
    const near = closest(causes, ['altitude'], []).map(({ id }) => id);
    expect(near).toContain('altitude_drift');
    expect(near).not.toContain('airspeed_drift');
    expect(near).toContain('eyes_inside');
    // What is ticked stays in sight.
    expect(closest(causes, [], ['airspeed_drift']).map(({ id }) => id)).toContain('airspeed_drift');
  });

  test('val: the same finding has the words of its kind', () => {
    expect(causeWords('altitude_drift', 'steep_turn')).toContain('bank');
    expect(causeWords('altitude_drift', 'slow_flight')).toBe('power did not hold the altitude');
    expect(causeWords('not_known_here', 'steep_turn')).toBe('not known here');
  });
});

describe('answers', () => {
  const questions = questionsOf(turn()).numbers;

  test('val: what was left open is not in the entry', () => {
    const said = saidOf(
      { numbers: { altitude: -60, bank: NaN }, limits: ['bank'], causes: ['rough_air'], text: '  ' },
      questions,
    );
    expect(said).toEqual([
      { question: 'altitude', value: -60, unit: 'ft' },
      { question: LIMIT, choice: 'bank' },
      { question: WHY, choice: 'rough_air' },
    ]);
    expect(saidOf({ numbers: {}, limits: [], causes: [], text: '' }, questions)).toEqual([]);
  });

  test('prop: none and the others shut each other out', () => {
    expect(ticked(['altitude', 'bank'], NONE, true)).toEqual([NONE]);
    expect(ticked([NONE], 'bank', true)).toEqual(['bank']);
    expect(ticked(['altitude', 'bank'], 'bank', false)).toEqual(['altitude']);
  });

  test('val: amounts have unit and side', () => {
    const [altitude, bank] = questions;
    expect(amount(-60, altitude!)).toBe('60\u00a0ft low');
    expect(amount(0, altitude!)).toBe('0\u00a0ft');
    expect(amount(50, bank!)).toBe('50°');
    expect(amount(2, { unit: 's', sides: undefined, step: 0.5 })).toBe('2.0\u00a0s');
  });

  test('val: said beside recorded, limits and causes with what the recording says of each', () => {
    const said: Said[] = [
      { question: 'altitude', value: -60, unit: 'ft' },
      { question: LIMIT, choice: 'bank' },
      { question: LIMIT, choice: 'gone_since' },
      { question: WHY, choice: 'rough_air' },
      { question: WHY, text: 'I looked inside.' },
    ];
    const rows = compared(turn(), said, (mark) => mark.mark);
    expect(rows.numbers.map(({ question, said: value }) => [question.id, value])).toEqual([
      ['altitude', -60],
    ]);
    expect(rows.limits.map(({ criterion, remark }) => [criterion, remark])).toEqual([
      ['altitude', 'it broke; you did not name it'],
      ['bank', 'you named it, but it held'],
      ['gone_since', 'the standard does not ask for it here now'],
    ]);
    expect(rows.causes.map(({ remark }) => remark)).toEqual([
      'no recording can tell',
      'the recording shows it; you did not name it',
    ]);
    expect(rows.text).toBe('I looked inside.');
  });

  test('val: none broke is held against what the person’s verdict makes of it', () => {
    const said: Said[] = [{ question: LIMIT, choice: NONE }];
    expect(compared(turn(), said, (mark) => mark.mark).limitsWords).toBe('None, you said.');
    expect(compared(turn(), said, () => 'met').limitsWords).toContain('the recording says the same');
  });
});

describe('scale', () => {
  const [altitude] = questionsOf(turn()).numbers;
  const at = (said: number | undefined, value: number, sigma = 3) =>
    scaleLayout({
      question: { ...altitude!, recorded: { value, sigma } },
      said,
      width: 400,
      saidWidth: said === undefined ? 0 : 90,
      recordedWidth: 130,
    });

  test('prop: words never lie over each other nor past the edges, and keep the order of what they name', () => {
    for (let said = -300; said <= 300; said += 20) {
      for (let value = -300; value <= 300; value += 20) {
        const { saidAt, recordedAt, ring, bar } = at(said, value);
        expect(Math.abs(saidAt - recordedAt)).toBeGreaterThanOrEqual(110 + 12 - 0.01);
        expect(saidAt).toBeGreaterThanOrEqual(45 - 0.01);
        expect(saidAt).toBeLessThanOrEqual(400 - 45 + 0.01);
        expect(recordedAt).toBeGreaterThanOrEqual(65 - 0.01);
        expect(recordedAt).toBeLessThanOrEqual(400 - 65 + 0.01);
        if (ring !== undefined && Math.abs(ring - bar.at) > 1)
          expect(saidAt < recordedAt).toBe(ring < bar.at);
      }
    }
  });

  test('prop: what lies past the scale makes it longer, both ways alike; the bar stays on it', () => {
    const wide = at(-900, 20);
    expect(wide.ring).toBeGreaterThanOrEqual(wide.left);
    expect(wide.ticks.map(({ words }) => words)).toEqual(['900\u00a0ft low', '0', '900\u00a0ft high']);
    const doubtful = at(0, 290, 200);
    expect(doubtful.bar.x1).toBeLessThanOrEqual(doubtful.right);
    expect(doubtful.bar.x0).toBeLessThan(doubtful.bar.at);
  });
});
