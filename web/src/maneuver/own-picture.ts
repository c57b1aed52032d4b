// The picture of a maneuver's kind (against heading, bearing or distance), drawn by the program once for page and
// paper. Which kind has which is said in one place, crates/press/src/picture.rs; here it only gets its ink.

import type { ManeuverPicture, PictureDrawing } from '../shared/api/types';

/** Pictures that came: paper is drawn at once, when there is no time to ask for them. */
const came = new Map<string, ManeuverPicture>();
const KEPT = 60;

/** What a picture hangs on: the maneuver, and what it was marked by. */
export interface Place {
  readonly id: string;
  readonly number: number;
  readonly inputs: string;
}

const keyOf = ({ id, number, inputs }: Place): string => `${id} ${String(number)} ${inputs}`;

export function kept(place: Place): ManeuverPicture | undefined {
  return came.get(keyOf(place));
}

export function keep(place: Place, picture: ManeuverPicture): void {
  const oldest = came.keys().next();
  if (came.size >= KEPT && !oldest.done) came.delete(oldest.value);
  came.set(keyOf(place), picture);
}

/** The page's name of each ink of a drawing. */
const INKS: Readonly<Record<string, string>> = {
  paper: 'paper',
  ink: 'ink',
  ink2: 'ink-2',
  ink3: 'ink-3',
  dev: 'deviation',
  out: 'beyond',
  sig: 'sigma',
  band: 'band',
  phase: 'phase',
  rule: 'rule',
};

/** CSS color of an ink; `none` where nothing is filled or stroked, ink where the name is not known. */
export function inkOf(role: string | null | undefined): string {
  if (role === null || role === undefined) return 'none';
  return `var(--${INKS[role] ?? 'ink'})`;
}

/** Narrower than this the wide drawing would have words under 12 px: the phone's is shown, px. */
const NARROW = 690;
/** Larger than this a drawing would outgrow the words beside it. */
const MOST = 1.25;

/** The drawing for a width, and how much larger it is shown. */
export function drawingFor(
  picture: ManeuverPicture | undefined,
  width: number,
): { drawing: PictureDrawing; scale: number } | undefined {
  const narrow = width < NARROW;
  const drawing = (narrow ? picture?.narrow : picture?.wide) ?? picture?.wide ?? picture?.narrow;
  if (!drawing || !(drawing.width > 0) || !(width > 0)) return undefined;
  return { drawing, scale: Math.min(width / drawing.width, MOST) };
}
