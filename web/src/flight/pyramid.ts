// A pyramid of minima and maxima over a long series, so that a two-hour flight is drawn from as many points as the
// screen has columns and no peak, however short, is ever lost.

/** A level: bucket `i` holds the least and the greatest of `size` samples, NaN where none of them is known. */
export interface Level {
  /** Samples a bucket. */
  readonly size: number;
  readonly min: Float32Array;
  readonly max: Float32Array;
  /** Whether the least comes before the greatest, so that a line drawn through both keeps its direction. */
  readonly minFirst: Uint8Array;
}

/** Least and greatest of a stretch. */
export interface Extremes {
  readonly min: number;
  readonly max: number;
}

const FIRST = 8;
const FACTOR = 4;

export class Pyramid {
  readonly values: Float32Array;
  readonly levels: readonly Level[];

  constructor(values: Float32Array) {
    this.values = values;
    const levels: Level[] = [];
    if (values.length > FIRST * 4) {
      let level = ground(values);
      levels.push(level);
      while (level.min.length > 64) {
        level = above(level);
        levels.push(level);
      }
    }
    this.levels = levels;
  }

  /** The coarsest level that still has at least two buckets a column; `undefined` = draw the samples themselves. */
  levelFor(samplesPerColumn: number): Level | undefined {
    return this.levels.findLast((level) => level.size * 2 <= samplesPerColumn);
  }

  /** Least and greatest of the samples `from` to `to`, both included; `undefined` where nothing is known. */
  extremes(from: number, to: number): Extremes | undefined {
    let low = Infinity;
    let high = -Infinity;
    const see = (min: number, max: number): void => {
      if (min < low) low = min;
      if (max > high) high = max;
    };
    let index = Math.max(0, Math.ceil(from));
    const end = Math.min(this.values.length - 1, Math.floor(to));
    while (index <= end) {
      const level = this.levels.findLast((one) => index % one.size === 0 && index + one.size - 1 <= end);
      if (level) {
        const bucket = index / level.size;
        see(level.min[bucket] ?? NaN, level.max[bucket] ?? NaN);
        index += level.size;
      } else {
        const value = this.values[index] ?? NaN;
        see(value, value);
        index += 1;
      }
    }
    return low <= high ? { min: low, max: high } : undefined;
  }
}

function ground(values: Float32Array): Level {
  const count = Math.ceil(values.length / FIRST);
  const level = blank(FIRST, count);
  for (let bucket = 0; bucket < count; bucket += 1) {
    let low = NaN;
    let high = NaN;
    let lowAt = 0;
    let highAt = 0;
    const end = Math.min(values.length, (bucket + 1) * FIRST);
    for (let i = bucket * FIRST; i < end; i += 1) {
      const value = values[i] ?? NaN;
      if (value !== value) continue;
      if (!(value >= low)) {
        low = value;
        lowAt = i;
      }
      if (!(value <= high)) {
        high = value;
        highAt = i;
      }
    }
    level.min[bucket] = low;
    level.max[bucket] = high;
    level.minFirst[bucket] = lowAt <= highAt ? 1 : 0;
  }
  return level;
}

function above(below: Level): Level {
  const count = Math.ceil(below.min.length / FACTOR);
  const level = blank(below.size * FACTOR, count);
  for (let bucket = 0; bucket < count; bucket += 1) {
    let low = NaN;
    let high = NaN;
    let lowAt = 0;
    let highAt = 0;
    const end = Math.min(below.min.length, (bucket + 1) * FACTOR);
    for (let i = bucket * FACTOR; i < end; i += 1) {
      const min = below.min[i] ?? NaN;
      const max = below.max[i] ?? NaN;
      // Within one bucket below, its own order decides; half a step tells them apart.
      const first = below.minFirst[i] ? 0 : 0.5;
      if (min === min && !(min >= low)) {
        low = min;
        lowAt = i + first;
      }
      if (max === max && !(max <= high)) {
        high = max;
        highAt = i + 0.5 - first;
      }
    }
    level.min[bucket] = low;
    level.max[bucket] = high;
    level.minFirst[bucket] = lowAt <= highAt ? 1 : 0;
  }
  return level;
}

function blank(size: number, count: number): Level {
  return {
    size,
    min: new Float32Array(count),
    max: new Float32Array(count),
    minFirst: new Uint8Array(count),
  };
}
