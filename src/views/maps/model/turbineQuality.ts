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

/** A point off the curve of its line by less is read as well as sheets are (common practice, no source). */
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
  /** Root mean square of how far points lie off the nozzle law of their line, share of flow; null with fewer than three points on every line. */
  scatter: number | null;
}

interface PlacedPoint {
  line: number;
  point: number;
  expansionRatio: number;
  flow: number;
  /** ln of the point's own area over that of its line. */
  off: number;
  /** Points on its line. */
  among: number;
}

/** null while nothing is fitted. */
export function turbineQuality(draft: MapDraft, { sheet, capacity }: TurbineDraftFit): TurbineQuality | null {
  if (sheet === null || capacity === null) return null;
  const points = sheet.lines.flatMap((line) => line.points);
  const ratios = points.map((p) => p.expansionRatio);
  const flows = points.map((p) => p.flow);
  const off = offPoints(draft, capacity.law).filter(({ among }) => among >= 3);
  return {
    lines: sheet.lines.length,
    points: points.length,
    pointsWithEfficiency: points.filter((p) => p.efficiency !== undefined).length,
    expansionRatio: { low: Math.min(...ratios), high: Math.max(...ratios) },
    flow: { low: Math.min(...flows), high: Math.max(...flows) },
    law: capacity.law ?? null,
    scatter: off.length === 0 ? null : Math.sqrt(off.reduce((sum, p) => sum + p.off ** 2, 0) / off.length),
  };
}

/** Points that stand off the curve of their line far more than the others: probably slips, each with its place. */
export function turbineDoubts(draft: MapDraft, { capacity }: TurbineDraftFit): MapFinding[] {
  const all = offPoints(draft, capacity?.law).filter(({ among }) => among >= LEAST_POINTS);
  const usual = median(all.map((p) => Math.abs(p.off)));
  return all.flatMap((p): MapFinding[] => {
    if (Math.abs(p.off) <= Math.max(STANDS_OFF, TIMES * usual)) return [];
    const by = `${formatNumber(Math.abs(Math.expm1(p.off)) * 100, 1)} %`;
    const expected = p.flow / Math.exp(p.off);
    const digits = Math.max(0, 3 - Math.floor(Math.log10(expected)));
    return [
      {
        severity: 'warning',
        code: 'flow-off-curve',
        message: `Line ${p.line + 1}, point ${p.point + 1}: at expansion ratio ${p.expansionRatio} the flow is ${by} ${p.off > 0 ? 'above' : 'below'} the curve of the others, which has ${formatNumber(expected, digits)} ${flowUnitLabel(draft)} there. Check the reading.`,
        place: { part: 'speed-line', line: p.line, point: p.point },
      },
    ];
  });
}

/** How far every readable point lies off the nozzle law with the middle area of its line. */
function offPoints(draft: MapDraft, law: Law | undefined): PlacedPoint[] {
  if (law === undefined) return [];
  const reduced = reducedSpeeds(draft);
  return draft.speedLines.flatMap((line, l) => {
    const read = line.points.flatMap((cells, point) => {
      const [ratio, flow] = [parseNumber(cells.pressureRatio), parseNumber(cells.flow)];
      if (!ratio.ok || !flow.ok || !(ratio.value > 1) || !(flow.value > 0)) return [];
      const logArea = Math.log(flow.value / lawFlowParameter(law, ratio.value, reduced[l] ?? 0));
      return [{ line: l, point, expansionRatio: ratio.value, flow: flow.value, logArea }];
    });
    const middle = median(read.map(({ logArea }) => logArea));
    return read.map(({ logArea, ...point }) => ({ ...point, off: logArea - middle, among: read.length }));
  });
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
    law === null ? '' : `: area ${formatNumber(law.areaM2 * 1e4, 2)} cm², exponent ${formatNumber(law.exponent, 2)}`;
  const off = scatter === null ? '' : `, points scatter by ${formatNumber(scatter * 100, 1)} %`;
  return `Fitted through ${points} ${points === 1 ? 'point' : 'points'}${area}${off}`;
}
