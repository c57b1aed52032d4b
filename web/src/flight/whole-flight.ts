// The whole flight in words: what was not watched and why, times, and the pieces between maneuvers.

import type { LessonPiece, NotWatched } from './document';

export interface Reason {
  readonly why: string;
  /** What could not be watched for it. */
  readonly what: string;
}

/** Kinds that share a reason are told together. */
export function reasons(all: readonly NotWatched[]): Reason[] {
  const byWhy = new Map<string, string[]>();
  for (const { why, headline } of all) {
    const names = byWhy.get(why);
    if (names) names.push(headline);
    else byWhy.set(why, [headline]);
  }
  return [...byWhy].map(([why, names]) => ({ why, what: names.join('; ') }));
}

/** Minutes and seconds, `4:05`. */
export function minutes(seconds: number): string {
  const whole = Math.max(0, Math.round(seconds));
  return `${String(Math.floor(whole / 60))}:${String(whole % 60).padStart(2, '0')}`;
}

/** `3 Power-off stall, straight ahead, 1:12` or `turn left, 0:20`. */
export function pieceWords(piece: LessonPiece): string {
  const number = typeof piece.maneuver === 'number' ? `${String(piece.maneuver)} ` : '';
  const sided = number === '' && (piece.direction === 'left' || piece.direction === 'right');
  const side = sided ? ` ${piece.direction}` : '';
  return `${number}${piece.name}${side}, ${minutes(piece.end_s - piece.start_s)}`;
}
