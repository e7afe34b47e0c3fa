import type { TurbineDraftFit, TurbineTables } from '../../../build/index.ts';
import { lawFlowParameter, reducedSpeedFactor, type TurbineCapacity } from '../../../turbine/index.ts';
import { formatNumber } from '../../../units/index.ts';

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

/** null while nothing is fitted. */
export function turbineQuality({ sheet, capacity }: TurbineDraftFit): TurbineQuality | null {
  if (sheet === null || capacity === null) return null;
  const points = sheet.lines.flatMap((line) => line.points);
  const ratios = points.map((p) => p.expansionRatio);
  const flows = points.map((p) => p.flow);
  return {
    lines: sheet.lines.length,
    points: points.length,
    pointsWithEfficiency: points.filter((p) => p.efficiency !== undefined).length,
    expansionRatio: { low: Math.min(...ratios), high: Math.max(...ratios) },
    flow: { low: Math.min(...flows), high: Math.max(...flows) },
    law: capacity.law ?? null,
    scatter: capacity.law === undefined ? null : scatterOf(sheet, capacity.law),
  };
}

/**
 * Every inner point is held against the straight line through its two neighbours, in ln(flow over the law) over ln(expansion ratio):
 * there a line is nearly level, and what the law itself misses along a whole line counts little.
 */
function scatterOf(sheet: TurbineTables, law: Law): number | null {
  // One line without a speed, and all points make one curve.
  const isPooled = sheet.lines.some(({ speedRpm }) => speedRpm === undefined);
  const toReduced = isPooled ? 0 : reducedSpeedFactor(sheet);
  const squares = sheet.lines.flatMap(({ speedRpm = 0, points }) => {
    const read = points
      .map(({ expansionRatio, flow }) => ({
        x: Math.log(expansionRatio),
        y: Math.log(flow / lawFlowParameter(law, expansionRatio, speedRpm * toReduced)),
      }))
      .filter(({ y }) => Number.isFinite(y))
      .sort((a, b) => a.x - b.x);
    return read.slice(1, -1).map(({ x, y }, i) => {
      const [a, b] = [read[i]!, read[i + 2]!];
      const way = b.x > a.x ? (x - a.x) / (b.x - a.x) : 0.5;
      const off = y - a.y - way * (b.y - a.y);
      // The neighbours scatter as well.
      return off ** 2 / (1 + way ** 2 + (1 - way) ** 2);
    });
  });
  return squares.length === 0 ? null : Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / squares.length);
}

/** One line for under the plot. */
export function turbineWords({ points, law, scatter }: TurbineQuality): string {
  const area =
    law === null ? '' : `: ${formatNumber(law.areaM2 * 1e4, 2)} cm², exponent ${formatNumber(law.exponent, 2)}`;
  const off = scatter === null ? '' : `, scatter ${formatNumber(scatter * 100, 1)} %`;
  return `Fitted through ${points} ${points === 1 ? 'point' : 'points'}${area}${off}`;
}
