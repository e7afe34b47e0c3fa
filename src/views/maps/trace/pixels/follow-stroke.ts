import { crossCut } from './cross-profile.ts';
import { OneWayFollower, type OneWayOptions } from './follow-one-way.ts';
import type { TrackPoint } from './local-curve.ts';
import { EDGE_SHARE, type FoundStroke, findStroke } from './snap-to-stroke.ts';
import { smoothTrack, thinPath } from './thin-path.ts';
import type { FollowedStroke, FollowOptions, PixelImage, PixelPlace, StrokeEnd } from './types.ts';

const SEARCH_RADIUS = 8;
const BRIDGE_WIDTHS = 6;
const LEAST_BRIDGE_PX = 14;
const LONGEST_PX = 20_000;
const THIN_TOLERANCE_PX = 0.8;
const MOST_POINTS = 24;

/**
 * Follow a stroke from one click in both directions to its ends, and propose points along it.
 * The stroke's colour and width are taken at the click; its centre is found to a fraction of a pixel by cuts across it; it is carried
 * straight on over grid lines, crossing curves and the gaps of a dashed line. Only pixels near the stroke are looked at.
 *
 * @param image RGBA; up to tens of megapixels
 * @param start where the click was, pixels
 * @returns the points, or why there are none. Never throws.
 */
export function followStroke(image: PixelImage, start: PixelPlace, options: FollowOptions = {}): FollowedStroke {
  if (!(start.x >= 0 && start.y >= 0 && start.x < image.width && start.y < image.height)) {
    return { ok: false, reason: 'outside-picture', message: 'That place lies outside the picture. Click on a line.' };
  }
  const found = findStroke(image, start, options.searchRadiusPx ?? SEARCH_RADIUS);
  const seeds = found ? seedTrack(found) : [];
  if (!found || seeds.length < 3) {
    const message =
      'No line was found here. Zoom in and click on the middle of a line, away from crossings and labels.';
    return { ok: false, reason: 'no-stroke', message };
  }
  const oneWay: OneWayOptions = {
    widthPx: found.widthPx,
    cutWidthPx: found.cutWidthPx,
    peak: found.peak,
    bridgePx: Math.max(LEAST_BRIDGE_PX, (options.bridgeWidths ?? BRIDGE_WIDTHS) * found.widthPx),
    longestPx: options.longestPx ?? LONGEST_PX,
  };
  const { track, ends } = followBothWays(found, seeds, oneWay);
  const path = smoothTrack(track);
  const tolerance = Math.max(0.01, options.thinTolerancePx ?? THIN_TOLERANCE_PX);
  const most = Math.max(2, Math.floor(options.mostPoints ?? MOST_POINTS));
  return {
    ok: true,
    points: thinPath(path, tolerance, most),
    path: path.map(({ x, y }) => ({ x, y })),
    look: { colour: found.colour, paper: found.paper, widthPx: found.widthPx },
    lengthPx: path[path.length - 1]!.s - path[0]!.s,
    ends,
  };
}

function followBothWays(
  found: FoundStroke,
  seeds: readonly TrackPoint[],
  options: OneWayOptions,
): { track: TrackPoint[]; ends: [StrokeEnd, StrokeEnd] } {
  const forward = [...seeds];
  const end = new OneWayFollower(found.ink, forward, options).run();
  if (end === 'closed') {
    const first = forward[0]!;
    const last = forward[forward.length - 1]!;
    const s = last.s + Math.hypot(first.x - last.x, first.y - last.y);
    return { track: [...forward, { ...first, s }], ends: ['closed', 'closed'] };
  }
  const backward = turned(seeds);
  const start = new OneWayFollower(found.ink, backward, options).run();
  // The seeds stand in both: the backward part up to them, then the forward part.
  const offset = backward[backward.length - 1]!.s;
  const seedEnd = backward[seeds.length - 1]!.s;
  const before = backward
    .slice(seeds.length)
    .reverse()
    .map((p) => ({ ...p, s: offset - p.s }));
  const after = forward.map((p) => ({ ...p, s: p.s - forward[0]!.s + (offset - seedEnd) }));
  return { track: [...before, ...after], ends: [start, end] };
}

/** The other way round, arc length from zero. */
function turned(track: readonly TrackPoint[]): TrackPoint[] {
  const end = track[track.length - 1]!.s;
  return [...track].reverse().map((p) => ({ ...p, s: end - p.s }));
}

/** Centres of the stroke at the click and a few pixels on either side of it: what the curve of the first step is made of. */
function seedTrack(found: FoundStroke): TrackPoint[] {
  const { ink, place, direction, widthPx } = found;
  const cos = Math.cos(direction);
  const sin = Math.sin(direction);
  const track: TrackPoint[] = [];
  for (let t = -6; t <= 6; t += 2) {
    const x = place.x + t * cos;
    const y = place.y + t * sin;
    const threshold = Math.max(0.1, EDGE_SHARE * found.peak);
    const cut = crossCut(ink, x, y, direction, 1.5 * widthPx + 5, 1.5 + 0.3 * Math.abs(t), threshold);
    const good = cut && !cut.open && cut.width <= 1.45 * widthPx + 1.2;
    if (!good) continue;
    const at = { x: x - cut.offset * sin, y: y + cut.offset * cos };
    const last = track[track.length - 1];
    track.push({ ...at, s: last ? last.s + Math.hypot(at.x - last.x, at.y - last.y) : 0, weight: 1 });
  }
  return track;
}
