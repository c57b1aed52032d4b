// The time axis that strip, ribbons, traces and events share: seconds to px and back.
//
// A stall is ten seconds inside a minute and a half: the axis may be cut into at most three pieces, each linear, with
// a gap at each seam, so that the pull and the recovery get most of the width.

/** Gap at a seam, px. */
export const SEAM_PX = 6;

/** A stretch of time drawn to one scale. */
export interface Piece {
  /** From, s. */
  readonly t0: number;
  /** To, s. */
  readonly t1: number;
  /** Left, px. */
  readonly x0: number;
  /** Right, px. */
  readonly x1: number;
}

/** A stretch of time with its wish for width. */
export interface Share {
  readonly t0: number;
  readonly t1: number;
  /** Share of the width, 0 to 1; the shares of an axis add up to 1. */
  readonly share: number;
}

/** A labeled moment of the axis. */
export interface Tick {
  readonly t: number;
  readonly x: number;
}

const STEPS_S = [1, 2, 4, 5, 10, 15, 20, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200];
const SUBSTEPS_S = [0.1, 0.2, 0.5];

/** Time in s to x in px, and back. */
export class TimeAxis {
  readonly pieces: readonly Piece[];

  constructor(pieces: readonly Piece[]) {
    this.pieces = pieces;
  }

  /** One linear piece. */
  static linear(t0: number, t1: number, x0: number, x1: number): TimeAxis {
    const sound = Number.isFinite(t0) && Number.isFinite(t1);
    const from = sound ? t0 : 0;
    return new TimeAxis([{ t0: from, t1: sound ? Math.max(t1, t0 + 1e-3) : 1, x0, x1 }]);
  }

  /** Pieces side by side between two edges, with a gap at each seam. */
  static stretched(shares: readonly Share[], x0: number, x1: number): TimeAxis {
    const kept = shares.filter((part) => part.t1 > part.t0 && part.share > 0);
    const room = x1 - x0 - SEAM_PX * Math.max(0, kept.length - 1);
    const sum = kept.reduce((all, part) => all + part.share, 0);
    let x = x0;
    const pieces = kept.map((part) => {
      const width = (part.share / sum) * room;
      const piece = { t0: part.t0, t1: part.t1, x0: x, x1: x + width };
      x += width + SEAM_PX;
      return piece;
    });
    return pieces.length > 0 ? new TimeAxis(pieces) : TimeAxis.linear(0, 1, x0, x1);
  }

  get start(): number {
    return this.pieces[0]?.t0 ?? 0;
  }

  get end(): number {
    return this.pieces.at(-1)?.t1 ?? 0;
  }

  get left(): number {
    return this.pieces[0]?.x0 ?? 0;
  }

  get right(): number {
    return this.pieces.at(-1)?.x1 ?? 0;
  }

  /** Index of the piece that shows a time, −1 outside: a line must break between two pieces. */
  piece(t: number): number {
    return this.pieces.findIndex((piece) => t >= piece.t0 && t <= piece.t1);
  }

  /** Where a time is drawn; `undefined` outside the axis. */
  x(t: number): number | undefined {
    const piece = this.pieces.find((one) => t >= one.t0 && t <= one.t1);
    return piece && at(piece, t);
  }

  /** Where a time is drawn, moved to the nearer end if outside. */
  clamped(t: number): number {
    const inside = Number.isNaN(t) ? this.start : Math.min(Math.max(t, this.start), this.end);
    return this.x(inside) ?? this.left;
  }

  /** As {@link clamped} inside; outside on along the nearest piece's scale, so that a line runs out of the picture. */
  extended(t: number): number {
    const first = this.pieces[0];
    const last = this.pieces.at(-1);
    if (first && t < first.t0) return at(first, t);
    if (last && t > last.t1) return at(last, t);
    return this.clamped(t);
  }

  /** The time at a px, moved to the nearer end if outside; inside a seam the time of the seam. */
  toTime(px: number): number {
    for (const piece of this.pieces) {
      if (px < piece.x0) return piece.t0;
      if (px <= piece.x1) {
        return piece.t0 + ((px - piece.x0) / (piece.x1 - piece.x0)) * (piece.t1 - piece.t0);
      }
    }
    return this.end;
  }

  /** Labeled moments, each at least `apart` px from the one before. `offset_s` puts them on round clock times. */
  ticks(offset_s: number, apart: number): Tick[] {
    const out: Tick[] = [];
    const roomAfterLast = (x: number): boolean => {
      const last = out.at(-1);
      return !last || x - last.x >= apart;
    };
    for (const piece of this.pieces) {
      const scale = (piece.x1 - piece.x0) / Math.max(piece.t1 - piece.t0, 1e-6);
      const step = [...SUBSTEPS_S, ...STEPS_S].find((one) => one * scale >= apart) ?? 14_400;
      const first = Math.ceil((piece.t0 + offset_s) / step - 1e-9);
      let any = false;
      for (let n = first; n * step - offset_s <= piece.t1 + 1e-9 && n - first < 500; n += 1) {
        const t = Math.min(n * step - offset_s, piece.t1);
        const x = at(piece, t);
        if (roomAfterLast(x)) {
          out.push({ t, x });
          any = true;
        }
      }
      const middle = Math.round((piece.t0 + piece.t1) / 2);
      const x = at(piece, middle);
      if (!any && middle >= piece.t0 && middle <= piece.t1 && roomAfterLast(x)) out.push({ t: middle, x });
    }
    return out;
  }
}

function at(piece: Piece, t: number): number {
  return piece.x0 + ((t - piece.t0) / Math.max(piece.t1 - piece.t0, 1e-9)) * (piece.x1 - piece.x0);
}

/**
 * Moves wanted positions apart: in order, at least `apart` from each other, inside `[low, high]` if there is room.
 * Clusters are centered on the mean of their wishes (pool-adjacent-violators on wish − i·apart).
 */
export function spread(wishes: readonly number[], apart: number, low: number, high: number): number[] {
  const count = wishes.length - 1;
  if (count < 0) return [];
  const gap = Math.min(apart, (high - low) / Math.max(count, 1));
  const pools: { mean: number; size: number }[] = [];
  wishes.forEach((wish, index) => {
    let pool = { mean: wish - index * gap, size: 1 };
    for (let before = pools.at(-1); before && before.mean > pool.mean; before = pools.at(-1)) {
      pools.pop();
      const size = before.size + pool.size;
      pool = { mean: (before.mean * before.size + pool.mean * pool.size) / size, size };
    }
    pools.push(pool);
  });
  const most = Math.max(high - count * gap, low);
  const places: number[] = [];
  for (const pool of pools) {
    for (let i = 0; i < pool.size; i += 1) {
      places.push(Math.min(Math.max(pool.mean, low), most) + places.length * gap);
    }
  }
  return places;
}
