import {
  lawFlowParameter,
  lineSpeed,
  type MapDraft,
  type MapFinding,
  type TurbineCapacity,
  type TurbineDraftFit,
} from '../../../build/index.ts';
import { formatNumber, parseNumber } from '../../../units/index.ts';
import { sheetSpeedRoot } from './draftPoints.ts';
import { flowUnitLabel } from './sheetWords.ts';

/** A point off a smooth line through its neighbours by less is read as well as sheets are (common practice, no source). */
const STANDS_OFF = 0.03;
/** And by so many times what the other points of the sheet scatter. */
const TIMES = 4;
/** Fewer points on a line cannot show which of them is wrong. */
const LEAST_POINTS = 4;

type Law = NonNullable<TurbineCapacity['law']>;

/** What is known of a turbine sheet's reading. */
export interface TurbineQuality {
  lines: number;
  points: number;
  pointsWithEfficiency: number;
  expansionRatio: { low: number; high: number };
  /** In the sheet's own unit. */
  flow: { low: number; high: number };
  /** Nozzle that swallows as much, m2, and the exponent of the expansion ratio in it; null where it is not known. */
  law: Law | null;
  /** Standard deviation of a point off a smooth line through its neighbours, share of flow; null with fewer than three points on every line. */
  scatter: number | null;
}

interface ReadPoint {
  point: number;
  expansionRatio: number;
  flow: number;
  logRatio: number;
  /** ln of flow over what the nozzle law has for an area of its own: nearly the same along a line, and smooth. */
  logArea: number;
}

/** null while nothing is fitted. */
export function turbineQuality(draft: MapDraft, { sheet, capacity }: TurbineDraftFit): TurbineQuality | null {
  if (sheet === null || capacity === null) return null;
  const points = sheet.lines.flatMap((line) => line.points);
  const ratios = points.map((p) => p.expansionRatio);
  const flows = points.map((p) => p.flow);
  const off = readLines(draft, capacity.law).flatMap((line) => deviations(line).filter((d) => d.isInner));
  return {
    lines: sheet.lines.length,
    points: points.length,
    pointsWithEfficiency: points.filter((p) => p.efficiency !== undefined).length,
    expansionRatio: { low: Math.min(...ratios), high: Math.max(...ratios) },
    flow: { low: Math.min(...flows), high: Math.max(...flows) },
    law: capacity.law ?? null,
    scatter: off.length === 0 ? null : Math.sqrt(off.reduce((sum, d) => sum + (d.off / d.spread) ** 2, 0) / off.length),
  };
}

/** Points that stand off a smooth line through their neighbours far more than the others: probably slips, each with its place. */
export function turbineDoubts(draft: MapDraft, { capacity }: TurbineDraftFit): MapFinding[] {
  const lines = readLines(draft, capacity?.law);
  return lines.flatMap((line, l) => {
    const found: MapFinding[] = [];
    let rest = line;
    // One wrong point makes its neighbours look wrong: the worst is judged by the sheet without it, and taken away before others are.
    while (rest.length >= LEAST_POINTS) {
      const worst = deviations(rest).reduce((a, b) => (share(b) > share(a) ? b : a));
      rest = rest.filter(({ point }) => point !== worst.of.point);
      const usual = median(lines.with(l, rest).flatMap((others) => deviations(others).map(share)));
      if (share(worst) <= Math.max(STANDS_OFF, TIMES * usual)) break;
      found.push(doubt(draft, l, worst));
    }
    return found;
  });
}

/** How far a point is off, in terms of points that scatter by so much. */
function share({ off, spread }: Deviation): number {
  return Math.abs(off) / spread;
}

function doubt(draft: MapDraft, line: number, { of, off }: Deviation): MapFinding {
  const speed = draft.speedLines[line]?.speed.trim() ?? '';
  const name = speed === '' ? `Line ${line + 1}` : `The ${speed} line`;
  const by = `${formatNumber(Math.abs(Math.expm1(off)) * 100, 1)} % ${off > 0 ? 'above' : 'below'}`;
  const expected = of.flow / Math.exp(off);
  const flow = `${formatNumber(expected, Math.max(0, 2 - Math.floor(Math.log10(expected))))} ${flowUnitLabel(draft)}`;
  return {
    severity: 'warning',
    code: 'flow-off-curve',
    message: `${name}, point ${of.point + 1}: the flow is ${by} the smooth line of the others, which has ${flow} at expansion ratio ${of.expansionRatio}. Check the reading.`,
    place: { part: 'speed-line', line, point: of.point },
  };
}

interface Deviation {
  of: ReadPoint;
  /** Share of flow, as a logarithm, that the point lies above the straight line through two neighbours in ln area over ln ratio. */
  off: number;
  /** Standard deviation of that for points that scatter by one. */
  spread: number;
  /** Between its neighbours; an end point lies beyond both. */
  isInner: boolean;
}

function deviations(line: readonly ReadPoint[]): Deviation[] {
  if (line.length < 3) return [];
  return line.map((of, i) => {
    const isInner = i > 0 && i < line.length - 1;
    const a = line[isInner ? i - 1 : i === 0 ? 1 : i - 2]!;
    const b = line[isInner ? i + 1 : i === 0 ? 2 : i - 1]!;
    // At one and the same ratio there is no line: the two then count as one place.
    const way = b.logRatio > a.logRatio ? (of.logRatio - a.logRatio) / (b.logRatio - a.logRatio) : 0.5;
    const off = of.logArea - (a.logArea + way * (b.logArea - a.logArea));
    return { of, off, spread: Math.hypot(1, way, 1 - way), isInner };
  });
}

/** The readable points of every line in rising expansion ratio, with their areas by the law. */
function readLines(draft: MapDraft, law: Law | undefined): ReadPoint[][] {
  if (law === undefined) return [];
  const reduced = reducedSpeeds(draft);
  return draft.speedLines.map((line, l) =>
    line.points
      .flatMap((cells, point): ReadPoint[] => {
        const [ratio, flow] = [parseNumber(cells.pressureRatio), parseNumber(cells.flow)];
        if (!ratio.ok || !flow.ok || !(ratio.value > 1) || !(flow.value > 0)) return [];
        const logArea = Math.log(flow.value / lawFlowParameter(law, ratio.value, reduced[l] ?? 0));
        if (!Number.isFinite(logArea)) return [];
        return [{ point, expansionRatio: ratio.value, flow: flow.value, logRatio: Math.log(ratio.value), logArea }];
      })
      .sort((a, b) => a.logRatio - b.logRatio),
  );
}

/** Speeds of the lines as the law takes them; 0 for all where one that has points has no speed: then they make one curve. */
function reducedSpeeds(draft: MapDraft): number[] {
  const speeds = draft.speedLines.map(({ speed, points }) => {
    const read = lineSpeed(speed, draft.habits);
    const isUsed = points.some((p) => p.flow.trim() !== '');
    return isUsed ? (read.ok ? read.rpm : null) : 0;
  });
  return speeds.includes(null) ? speeds.map(() => 0) : speeds.map((rpm) => (rpm ?? 0) / sheetSpeedRoot(draft));
}

function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half]! : ((sorted[half - 1] ?? 0) + (sorted[half] ?? 0)) / 2;
}

/** One line for under the plot. */
export function turbineWords({ points, law, scatter }: TurbineQuality): string {
  const area =
    law === null ? '' : `: ${formatNumber(law.areaM2 * 1e4, 2)} cm², exponent ${formatNumber(law.exponent, 2)}`;
  const off = scatter === null ? '' : `, scatter ${formatNumber(scatter * 100, 1)} %`;
  return `Fitted through ${points} ${points === 1 ? 'point' : 'points'}${area}${off}`;
}
