// The scale bar of the picture in space, seen from straight above.

import { VIEW_DEG } from './orbit';
import { scaleBar, type ScaleBar } from './plan';

/** Px a meter at the target, and the bar for it. */
export function scaleBarOnGround(distance: number, height_px: number, most_px: number): ScaleBar {
  const tall_m = 2 * distance * Math.tan((VIEW_DEG * Math.PI) / 360);
  return scaleBar(height_px / tall_m, most_px);
}
