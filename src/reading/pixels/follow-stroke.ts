import type { FollowedStroke, FollowOptions, Ink, PixelImage, PixelPlace, StrokeEnd } from './ink.ts';
import { type CrossCut, crossCut, EDGE_SHARE, type FoundStroke, findStroke } from './snap-to-stroke.ts';
import { type CurveAt, localCurve, smoothTrack, type TrackPoint, thinPath } from './track.ts';

const SEARCH_RADIUS = 8;
/** Gaps up to this many widths are bridged: dashed lines, crossings. */
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
    bridgePx: Math.max(LEAST_BRIDGE_PX, BRIDGE_WIDTHS * found.widthPx),
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
    lengthPx: path.at(-1)!.s - path[0]!.s,
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
    const [first, last] = [forward[0]!, forward.at(-1)!];
    const s = last.s + Math.hypot(first.x - last.x, first.y - last.y);
    return { track: [...forward, { ...first, s }], ends: ['closed', 'closed'] };
  }
  const backward = turned(seeds);
  const start = new OneWayFollower(found.ink, backward, options).run();
  // The seeds stand in both: the backward part up to them, then the forward part.
  const offset = backward.at(-1)!.s;
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
  const end = track.at(-1)!.s;
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

interface OneWayOptions {
  widthPx: number;
  /** Its width as a cut at the threshold sees it. */
  cutWidthPx: number;
  /** Ink of the stroke's middle at the start. */
  peak: number;
  bridgePx: number;
}

const STEP = 2;
/** A place that was not measured still holds the curve a little. */
const COASTING_WEIGHT = 0.02;
/** One edge says where the middle is, less well than both. */
const EDGE_WEIGHT = 0.2;
/** A centre this far off the curve, pixels, is more likely drawn aside by a crossing stroke than a bend; a bend shows again at the next step. */
const SURPRISE = 0.5;
const SURPRISE_WEIGHT = 0.25;
/** One curve describes a piece when its points scatter less than this about it, pixels. */
const LARGEST_SCATTER = 0.3;
/** Widening of the search across a gap, per pixel of gap: ten degrees. */
const GAP_WIDENING = 0.18;

/** How far a track may come off the way it had when it met another stroke: pixels, and per pixel of way (five degrees). */
const TURN_ROOM = 0.9;
const TURN_SLOPE = 0.08;
/** So many steps that show one stroke alone end the suspicion. */
const CLEAN_STEPS = 9;

interface Aim extends PixelPlace {
  direction: number;
}

interface Entry {
  curve: CurveAt;
  s: number;
  index: number;
  bend: number;
}

function carriedOn(curve: CurveAt, ahead: number, bend: number): PixelPlace {
  const push = 0.5 * bend * bend + bend * (ahead - bend);
  return { x: curve.x + ahead * curve.dx + push * curve.ddx, y: curve.y + ahead * curve.dy + push * curve.ddy };
}

/** Follows a stroke in one direction from the end of a track that has been begun; adds to the track. */
class OneWayFollower {
  private readonly ink: Ink;
  private readonly options: OneWayOptions;
  private readonly track: TrackPoint[];
  private peak: number;
  private coasted = 0;
  /** How far off the curve centres have lately been, pixels: much in a tight bend. */
  private usualOffset = 0;
  /** The way the track had when another stroke was met. */
  private entry: Entry | null = null;
  /** Width at the threshold as cuts have lately seen it. */
  private width: number;

  /** @param track begun with at least two measured points; s rises along it. */
  constructor(ink: Ink, track: TrackPoint[], options: OneWayOptions) {
    this.ink = ink;
    this.track = track;
    this.options = options;
    this.peak = options.peak;
    this.width = options.cutWidthPx;
  }

  /** Follows to the stroke's end. @returns why it stopped; 'closed' when it came back to the track's first point. */
  run(): StrokeEnd {
    const begin = this.track.at(-1)!.s;
    let lastGap = Number.NEGATIVE_INFINITY;
    while (this.last.s - begin < LONGEST_PX) {
      const aim = this.aimAt(STEP);
      if (this.isOutside(aim)) return 'edge';
      if (this.step(aim)) {
        if (this.isClosed(begin)) return 'closed';
        continue;
      }
      this.dropCoasting();
      // A gap that is looked across from the same place again would be looked across for ever.
      const gap = this.last.s;
      const bridged = gap > lastGap + STEP ? this.bridge() : 'end';
      lastGap = Math.max(lastGap, gap);
      if (bridged === 'found') continue;
      this.toTheVeryEnd();
      return bridged;
    }
    return 'limit';
  }

  private get last(): TrackPoint {
    return this.track.at(-1)!;
  }

  private get shortWindow(): number {
    return Math.max(14, 4 * this.options.widthPx);
  }

  private get threshold(): number {
    return Math.max(0.1, EDGE_SHARE * this.peak);
  }

  /**
   * Where the stroke should be so far ahead, by the curve through its last piece: as long a piece as one curve describes, for a long one
   * is not led astray by another stroke that crosses at a small angle.
   */
  private aimAt(ahead: number): Aim {
    const { curve, window } = this.curveHere();
    if (!curve) return { x: this.last.x, y: this.last.y, direction: 0 };
    // Curvature is the least certain part: carried on for a while, then straight.
    const bend = Math.min(ahead, 0.4 * window);
    const { x, y } = carriedOn(curve, ahead, bend);
    return { x, y, direction: Math.atan2(curve.dy + bend * curve.ddy, curve.dx + bend * curve.ddx) };
  }

  private curveHere(): { curve: CurveAt | null; window: number } {
    const { track } = this;
    const s = this.last.s;
    let curve: CurveAt | null = null;
    let window = 0;
    for (window of [4, 2.5, 1.5, 1].map((times) => times * this.shortWindow)) {
      let from = track.length - 1;
      while (from > 0 && s - track[from - 1]!.s <= window) from--;
      from = Math.max(0, Math.min(from, track.length - 4));
      curve = localCurve(track, from, track.length, s, Number.POSITIVE_INFINITY);
      if (curve && this.scatter(curve, from) < LARGEST_SCATTER) break;
    }
    return { curve, window };
  }

  /** Root mean square distance of the measured points of a piece from the curve through it, pixels; its last points count twice. */
  private scatter(curve: CurveAt, from: number): number {
    const { track } = this;
    const s = this.last.s;
    let sum = 0;
    let weights = 0;
    for (let i = from; i < track.length; i++) {
      const p = track[i]!;
      const t = p.s - s;
      const dx = curve.x + t * curve.dx + 0.5 * t * t * curve.ddx - p.x;
      const dy = curve.y + t * curve.dy + 0.5 * t * t * curve.ddy - p.y;
      const weight = i >= track.length - 4 ? 2 * p.weight : p.weight;
      sum += weight * (dx * dx + dy * dy);
      weights += weight;
    }
    return weights > 0 ? Math.sqrt(sum / weights) : 0;
  }

  private isOutside({ x, y }: Aim): boolean {
    const { width, height } = this.ink.image;
    return !(x >= 0.5 && y >= 0.5 && x <= width - 0.5 && y <= height - 0.5);
  }

  /** One step on. @returns false where the stroke is not seen. */
  private step(aim: Aim): boolean {
    const { widthPx } = this.options;
    const reach = 1.2 + 0.3 * widthPx;
    const cut = crossCut(this.ink, aim.x, aim.y, aim.direction, 1.5 * widthPx + 5, reach, this.threshold);
    if (!cut || Math.abs(cut.offset) > reach + 0.6 * widthPx) return false;
    if (cut.open || cut.width > 1.2 * this.width + 0.5) return this.passMerged(aim, cut);
    if (Math.abs(cut.offset) > reach || this.hasTurnedOff()) return false;
    this.coasted = 0;
    this.width += 0.05 * (cut.width - this.width);
    this.accept(aim, cut.offset, cut.peak);
    return true;
  }

  /**
   * Another stroke lies in the cut. One edge is still this stroke's own until the other has crossed over, then the opposite one; where
   * neither is, the curve is carried on. @returns false when it has been carried on for too long.
   */
  private passMerged(aim: Aim, cut: CrossCut): boolean {
    this.entry ??= this.entryHere();
    if (this.hasTurnedOff()) return false;
    const half = 0.5 * this.width;
    const fromEdges = [cut.left + half, cut.right - half].sort((a, b) => Math.abs(a) - Math.abs(b));
    const offset = fromEdges[0]!;
    if (!cut.open && Math.abs(offset) < 0.5 + 0.1 * half) {
      this.coasted += 0.5 * STEP;
      this.add(aim.x - offset * Math.sin(aim.direction), aim.y + offset * Math.cos(aim.direction), EDGE_WEIGHT);
    } else {
      this.coasted += STEP;
      this.add(aim.x, aim.y, COASTING_WEIGHT);
    }
    return this.coasted <= this.options.bridgePx + 4 * this.options.widthPx;
  }

  private entryHere(): Entry | null {
    const { curve, window } = this.curveHere();
    return curve && { curve, s: this.last.s, index: this.track.length, bend: 0.4 * window };
  }

  /**
   * Whether, since another stroke was met, the track has left the way it had: it has gone over to that stroke, which the own one crossed
   * or ended at. The track is then taken back to where it turned.
   */
  private hasTurnedOff(): boolean {
    const { entry, track } = this;
    if (!entry) return false;
    const away = (p: TrackPoint) => {
      const ahead = p.s - entry.s;
      const on = carriedOn(entry.curve, ahead, Math.min(ahead, entry.bend));
      return Math.hypot(p.x - on.x, p.y - on.y);
    };
    const ahead = this.last.s - entry.s;
    if (away(this.last) > TURN_ROOM + TURN_SLOPE * ahead) {
      const turned = track.findIndex((p, i) => i >= entry.index && away(p) > 0.5 * TURN_ROOM);
      if (turned > 0) track.length = Math.max(4, turned);
      this.entry = null;
      return true;
    }
    const clean = track.slice(-CLEAN_STEPS).every((p) => p.weight === 1);
    if (clean && track.length - entry.index > CLEAN_STEPS) this.entry = null;
    return false;
  }

  private accept(aim: Aim, offset: number, peak: number, surprising = true): void {
    this.peak += 0.08 * (Math.min(peak, 1.5 * this.peak) - this.peak);
    const weight = surprising && Math.abs(offset) > SURPRISE + 2 * this.usualOffset ? SURPRISE_WEIGHT : 1;
    this.usualOffset += 0.4 * (Math.abs(offset) - this.usualOffset);
    this.add(aim.x - offset * Math.sin(aim.direction), aim.y + offset * Math.cos(aim.direction), weight);
  }

  private add(x: number, y: number, weight: number): void {
    const s = this.last.s + Math.hypot(x - this.last.x, y - this.last.y);
    this.track.push({ x, y, s, weight });
  }

  /** What was only carried on behind the last place that was seen is no part of the stroke. */
  private dropCoasting(): void {
    while (this.track.length > 4 && this.last.weight <= EDGE_WEIGHT) this.track.pop();
    this.coasted = 0;
  }

  /** Looks ahead across a gap for the stroke's continuation: in line, of its width and ink, and going on. */
  private bridge(): 'found' | 'gap' | 'end' {
    const { bridgePx, widthPx } = this.options;
    const far = 2.5 * bridgePx;
    for (let ahead = STEP; ahead <= far; ahead += 1) {
      const aim = this.aimAt(ahead);
      if (this.isOutside(aim)) return 'end';
      const reach = 1 + GAP_WIDENING * ahead;
      const cut = crossCut(this.ink, aim.x, aim.y, aim.direction, reach + widthPx + 3, reach, 1.2 * this.threshold);
      if (!cut || cut.open || cut.width > 1.8 * widthPx + 1 || Math.abs(cut.offset) > reach) continue;
      if (!this.goesOn(aim, cut.offset)) continue;
      if (ahead > bridgePx) return 'gap';
      this.accept(aim, cut.offset, cut.peak, false);
      return 'found';
    }
    return 'end';
  }

  /** A stroke found across a gap must run on in its direction: a line that crosses there does not. */
  private goesOn(aim: Aim, offset: number): boolean {
    const { widthPx } = this.options;
    const cos = Math.cos(aim.direction);
    const sin = Math.sin(aim.direction);
    let seen = false;
    // Nearby, for a dash may be short; and farther on, where a direction shows.
    for (const ahead of [2 + 0.5 * widthPx, 5 + 0.5 * widthPx]) {
      const x = aim.x - offset * sin + ahead * cos;
      const y = aim.y + offset * cos + ahead * sin;
      const cut = crossCut(this.ink, x, y, aim.direction, 1.5 * widthPx + 5, 2, this.threshold);
      if (!cut) break;
      if (cut.open || cut.width > 1.8 * widthPx + 1 || Math.abs(cut.offset) > 0.3 * ahead) return false;
      seen = true;
    }
    return seen;
  }

  /** From the last place that was seen to where the ink falls to half. */
  private toTheVeryEnd(): void {
    const aim = this.aimAt(0);
    const cos = Math.cos(aim.direction);
    const sin = Math.sin(aim.direction);
    const level = 0.5 * this.peak;
    let reached = 0;
    while (reached < 2 * STEP && this.ink.at(aim.x + (reached + 0.25) * cos, aim.y + (reached + 0.25) * sin) >= level) {
      reached += 0.25;
    }
    while (reached > -STEP && this.ink.at(aim.x + reached * cos, aim.y + reached * sin) < level) reached -= 0.25;
    const end = this.last.s + reached;
    while (this.track.length > 4 && this.last.s > end) this.track.pop();
    const x = aim.x + reached * cos;
    const y = aim.y + reached * sin;
    if (Math.hypot(x - this.last.x, y - this.last.y) > 0.2) this.add(x, y, 0.5);
  }

  private isClosed(begin: number): boolean {
    const first = this.track[0]!;
    const { x, y, s } = this.last;
    if (s - begin < 24) return false;
    return Math.hypot(x - first.x, y - first.y) < 1.5 * STEP + 0.5 * this.options.widthPx;
  }
}
