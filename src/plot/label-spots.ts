import type { LabelSpot } from './label-placement.ts';
import type { PixelFrame, PixelPoint } from './pixel-point.ts';

function isVisible(point: PixelPoint, frame: PixelFrame): boolean {
  return point.x >= frame.left && point.x <= frame.right && point.y >= frame.top && point.y <= frame.bottom;
}

/** The angle of a line read left to right, -90..90 degrees. */
function readableAngle(from: PixelPoint, to: PixelPoint): number {
  const angle = (Math.atan2(to.y - from.y, to.x - from.x) * 180) / Math.PI;
  return angle > 90 ? angle - 180 : angle <= -90 ? angle + 180 : angle;
}

export interface AlongOptions {
  /** Width of the text, pixels. */
  width: number;
  /** Distance of the text's middle from the line: > 0 above it (left of a vertical line), < 0 below, 0 on it. */
  offset: number;
  /** Share of the visible run where the label is liked best. */
  liked: number;
  /** Cost of standing the whole run's length away from there; 2 when left out. */
  likedWeight?: number;
  /** How many places are tried. */
  count?: number;
}

/**
 * Spots along a run of pixels, turned with it. The chord over the text's width gives the angle; the more the line bends away from
 * the chord, and the steeper it is, the dearer the spot.
 */
export function spotsAlong(run: readonly PixelPoint[], frame: PixelFrame, options: AlongOptions): LabelSpot[] {
  const lengths = [0];
  for (let i = 1; i < run.length; i++) {
    lengths.push(lengths[i - 1]! + Math.hypot(run[i]!.x - run[i - 1]!.x, run[i]!.y - run[i - 1]!.y));
  }
  const total = lengths.at(-1) ?? 0;
  if (run.length < 2 || total < options.width * 0.6) return [];
  const visible = run.map((point, i) => (isVisible(point, frame) ? lengths[i]! : -1)).filter((s) => s >= 0);
  if (visible.length < 2) return [];
  const from = visible[0]!;
  const to = visible.at(-1)!;
  const pointAt = (s: number): PixelPoint => {
    let i = 1;
    while (i < run.length - 1 && lengths[i]! < s) i++;
    const a = run[i - 1]!;
    const b = run[i]!;
    const t = (s - lengths[i - 1]!) / (lengths[i]! - lengths[i - 1]! || 1);
    return { x: a.x + (b.x - a.x) * t, y: a.y + (b.y - a.y) * t };
  };
  const count = options.count ?? 24;
  const spots: LabelSpot[] = [];
  for (let k = 0; k < count; k++) {
    const share = (k + 0.5) / count;
    const s = from + share * (to - from);
    const half = options.width / 2;
    const a = pointAt(Math.max(0, s - half));
    const b = pointAt(Math.min(total, s + half));
    const middle = pointAt(s);
    const angle = readableAngle(a, b);
    const turn = (angle * Math.PI) / 180;
    const chord = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
    const bend = Math.hypot(chord.x - middle.x, chord.y - middle.y);
    const at = options.offset === 0 ? chord : middle;
    spots.push({
      x: at.x + options.offset * Math.sin(turn),
      y: at.y - options.offset * Math.cos(turn),
      anchor: 'middle',
      angle,
      cost:
        Math.abs(share - options.liked) * (options.likedWeight ?? 2) +
        bend * 0.4 +
        (Math.abs(angle) > 75 ? 1.5 : Math.abs(angle) / 90),
    });
  }
  return spots;
}

/** Spots beside a point, level: `order` gives the compass directions from liked best to least. */
export function spotsAround(
  at: PixelPoint,
  distance: number,
  order: readonly Compass[],
  costPerStep: number,
  baseCost = 0,
): LabelSpot[] {
  return order.map((direction, index) => {
    const [u, v, anchor] = COMPASS[direction];
    return {
      x: at.x + u * distance,
      y: at.y + v * distance,
      anchor,
      angle: 0,
      cost: baseCost + index * costPerStep,
    };
  });
}

export type Compass = 'n' | 'ne' | 'e' | 'se' | 's' | 'sw' | 'w' | 'nw';

/** Down the page is +v. Labels above and below stand a little farther off because a text is higher than its middle line. */
const COMPASS: Readonly<Record<Compass, readonly [number, number, 'start' | 'middle' | 'end']>> = {
  n: [0, -1.5, 'middle'],
  ne: [0.7, -0.95, 'start'],
  e: [1, 0, 'start'],
  se: [0.7, 0.95, 'start'],
  s: [0, 1.5, 'middle'],
  sw: [-0.7, 0.95, 'end'],
  w: [-1, 0, 'end'],
  nw: [-0.7, -0.95, 'end'],
};
