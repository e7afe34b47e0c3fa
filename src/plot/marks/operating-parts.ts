import type { LinePart, PlotOperatingLine, PlotOperatingPoint } from '../charts/map-model.ts';
import { type Compass, type LabelRequest, spotsAlong, spotsAround } from '../frame/labels.ts';
import {
  LABEL_FONT,
  lengthOf,
  linePath,
  type PixelFrame,
  type PixelPoint,
  rounded,
  textWidth,
} from '../frame/pixels.ts';

/** A point of an operating line with its place. */
export interface PlacedPoint {
  point: PlotOperatingPoint;
  pixel: PixelPoint;
}

/** What stands beside a part. A goal-limited part is the line as it is meant to be and needs no name. */
const PART_NAMES: Readonly<Record<LinePart, string>> = {
  turbine: 'turbine-limited',
  creep: 'boost creeps',
  ceiling: 'ceiling-limited',
};

export const NAMED_PARTS = Object.keys(PART_NAMES) as readonly LinePart[];

interface Piece {
  from: PixelPoint;
  to: PixelPoint;
  extended: boolean;
  part: LinePart | null;
}

/** An operating line in pixels, by how it is drawn. */
export interface OperatingStrokes {
  /** Between points that the sheet holds. */
  line: string;
  /** Where an end of the segment was extended. */
  extendedLine: string;
  /** The same where the line is turbine-limited: drawn hollow. */
  hollow: string;
  hollowExtended: string;
  /** Where the boost creeps over the goal: drawn thin, with beads. */
  creep: string;
  /** Short strokes across a ceiling-limited part. */
  ticks: string;
  /** The parts that have a name, in pixels. */
  runs: Readonly<Record<LinePart, readonly (readonly PixelPoint[])[]>>;
}

/** Where two neighbours are of different parts, the change is drawn halfway: it is known no more finely than the engine speeds stand. */
function piecesOf(points: readonly (PlacedPoint | null)[]): (Piece | null)[] {
  const pieces: (Piece | null)[] = [];
  for (let i = 1; i < points.length; i++) {
    const before = points[i - 1] ?? null;
    const here = points[i] ?? null;
    if (before === null || here === null || before.point.unmet || here.point.unmet) {
      pieces.push(null);
      continue;
    }
    const extended = before.point.extended || here.point.extended;
    const [first, second] = [before.point.part ?? null, here.point.part ?? null];
    if (first === second) {
      pieces.push({ from: before.pixel, to: here.pixel, extended, part: first });
      continue;
    }
    const middle = { x: (before.pixel.x + here.pixel.x) / 2, y: (before.pixel.y + here.pixel.y) / 2 };
    pieces.push({ from: before.pixel, to: middle, extended, part: first });
    pieces.push({ from: middle, to: here.pixel, extended, part: second });
  }
  return pieces;
}

/** Neighbouring pieces that are wanted, joined end to end. */
function runsWhere(pieces: readonly (Piece | null)[], isWanted: (piece: Piece) => boolean): PixelPoint[][] {
  const runs: PixelPoint[][] = [];
  let run: PixelPoint[] = [];
  for (const piece of pieces) {
    if (piece !== null && isWanted(piece)) {
      if (run.length === 0) run.push(piece.from);
      run.push(piece.to);
    } else if (run.length > 0) {
      runs.push(run);
      run = [];
    }
  }
  if (run.length > 0) runs.push(run);
  return runs;
}

const TICK_SPACING = 8;
const TICK_ARM = 4.5;

/** Strokes across the runs at even distances, none on a marker. */
function ticksAcross(runs: readonly (readonly PixelPoint[])[], markers: readonly (PixelPoint & { reach: number })[]) {
  let d = '';
  for (const run of runs) {
    let next = TICK_SPACING / 2;
    for (let i = 1; i < run.length; i++) {
      const [p, q] = [run[i - 1]!, run[i]!];
      const length = lengthOf(q.x - p.x, q.y - p.y);
      for (; next <= length; next += TICK_SPACING) {
        const x = p.x + ((q.x - p.x) * next) / length;
        const y = p.y + ((q.y - p.y) * next) / length;
        // A stroke just as far from a marker as it may be must not hang on the last bit: the second of a run stands there.
        if (markers.some((marker) => lengthOf(marker.x - x, marker.y - y) < marker.reach + 3 + 1e-6)) continue;
        const u = ((q.y - p.y) / length) * TICK_ARM;
        const v = ((p.x - q.x) / length) * TICK_ARM;
        d += `M${rounded(x - u)},${rounded(y - v)}L${rounded(x + u)},${rounded(y + v)}`;
      }
      next -= length;
    }
  }
  return d;
}

/** The strokes of a line. `markers`: what ticks keep off, with half its width. */
export function operatingStrokes(
  points: readonly (PlacedPoint | null)[],
  markers: readonly (PixelPoint & { reach: number })[],
): OperatingStrokes {
  const pieces = piecesOf(points);
  const drawn = (isHollow: boolean, isExtended: boolean) =>
    linePath(
      runsWhere(
        pieces,
        ({ part, extended }) => (part === 'turbine') === isHollow && extended === isExtended && part !== 'creep',
      ),
    );
  const runsOf = (wanted: LinePart) => runsWhere(pieces, ({ part }) => part === wanted);
  const [ceiling, creep] = [runsOf('ceiling'), runsOf('creep')];
  return {
    line: drawn(false, false),
    extendedLine: drawn(false, true),
    hollow: drawn(true, false),
    hollowExtended: drawn(true, true),
    creep: linePath(creep),
    ticks: ticksAcross(ceiling, markers),
    runs: { ceiling, creep, turbine: runsOf('turbine') },
  };
}

function lengthWithin(run: readonly PixelPoint[], { left, right, top, bottom }: PixelFrame): number {
  const isIn = ({ x, y }: PixelPoint) => x >= left && x <= right && y >= top && y <= bottom;
  return run.reduce((sum, point, i) => {
    const before = run[i - 1];
    return before && isIn(before) && isIn(point) ? sum + lengthOf(point.x - before.x, point.y - before.y) : sum;
  }, 0);
}

/** A label stays where it stands until another place is better by this much. */
const PART_STAY = 4.5;

/** How far a name stands from its line: clear of markers, or clear of the numbers beside them as well. */
const NEAR = [16, 31];
const SIDE_COSTS = [0, 3, 1, 4];
const UPPER: readonly Compass[] = ['w', 'nw', 'n', 'e', 'se'];
const LOWER: readonly Compass[] = ['e', 'se', 's', 'w', 'nw'];
const LEVEL: Readonly<Record<PlotOperatingLine['style'], readonly Compass[]>> = {
  a: UPPER,
  b: LOWER,
  c: UPPER,
  d: LOWER,
};

/** The place on its run that a name belongs to: where a leader to it begins. */
export function footOf(label: PixelPoint, runs: readonly (readonly PixelPoint[])[]): PixelPoint | null {
  let best: PixelPoint | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const run of runs) {
    for (let i = 1; i < run.length; i++) {
      const [p, q] = [run[i - 1]!, run[i]!];
      const [dx, dy] = [q.x - p.x, q.y - p.y];
      const share = ((label.x - p.x) * dx + (label.y - p.y) * dy) / (dx * dx + dy * dy || 1);
      const t = Math.min(1, Math.max(0, share));
      const at = { x: p.x + dx * t, y: p.y + dy * t };
      const away = lengthOf(label.x - at.x, label.y - at.y);
      if (away >= least) continue;
      least = away;
      best = at;
    }
  }
  return best;
}

/** The names of a line's parts, each beside the longest run of its kind that is in sight. */
export function partRequests(
  line: PlotOperatingLine,
  { runs }: Pick<OperatingStrokes, 'runs'>,
  frame: PixelFrame,
  isShared: boolean,
  held: ReadonlyMap<string, number> | undefined,
): LabelRequest[] {
  const whose = isShared && line.letter !== undefined ? `${line.letter} ` : '';
  const sides = (LEVEL[line.style] === UPPER ? [1, -1] : [-1, 1]).flatMap((side) => NEAR.map((away) => side * away));
  return NAMED_PARTS.flatMap((part) => {
    const lengths = runs[part].map((run) => lengthWithin(run, frame));
    const run = runs[part][lengths.indexOf(Math.max(...lengths))];
    if (run === undefined || Math.max(...lengths) === 0) return [];
    const key = `${line.id}:${part}`;
    const text = `${whose}${PART_NAMES[part]}`;
    const width = textWidth(text, LABEL_FONT, true);
    const beside = sides.flatMap((offset, side) =>
      spotsAlong(run, frame, { width, offset, liked: 0.5, likedWeight: 3, count: 9 }).map((spot) => ({
        ...spot,
        // The near places on both sides first: two candidates' lines run close.
        cost: spot.cost + SIDE_COSTS[side]!,
      })),
    );
    // A short or crowded run has no room along it: the name stands level beside it, with a leader where it is far.
    const level = [0.5, 0.25, 0.75].flatMap((share, i) =>
      [16, 32, 50].flatMap((reach, far) =>
        spotsAround(run[Math.round(share * (run.length - 1))]!, reach, LEVEL[line.style], 0.3, 4 + i + 2.5 * far),
      ),
    );
    const spots = [...beside, ...level].map((spot, index) =>
      index === held?.get(key) ? { ...spot, cost: spot.cost - PART_STAY } : spot,
    );
    return [{ key, text, bold: true, spots }];
  });
}
