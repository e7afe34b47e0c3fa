import type { Island, MapSheet, SheetPoint } from '../../src/compressor/types.ts';
import { AnalyticCompressor, MACHINES } from '../machines/analytic-compressor.ts';
import { readSheet } from './audit-sheets.ts';

/** A closed contour drawn by hand around the middle of the map: an ellipse over speed and beta, rounded as a person would. */
function closedIsland(efficiency: number, size: number): Island {
  const machine = new AnalyticCompressor(MACHINES[5]!);
  const points = Array.from({ length: 16 }, (_, i) => {
    const angle = (i * Math.PI) / 8;
    const p = machine.at(
      machine.topSpeedRpm * (0.72 + 0.2 * size * Math.sin(angle)),
      0.4 + 0.35 * size * Math.cos(angle),
    )!;
    return { flow: Number(p.correctedMassFlowKgPerS.toFixed(3)), pressureRatio: Number(p.pressureRatio.toFixed(2)) };
  });
  return { efficiency, closed: true, points };
}

/** Analytic machine read at 8 lines of 9 points, with point efficiencies AND islands, surge line, limit and wheel. */
export const GOOD: MapSheet = {
  ...readSheet(MACHINES[5]!, {}),
  islands: [
    ...readSheet(MACHINES[5]!, { islands: true }).islands!.slice(0, 1),
    closedIsland(0.78, 0.7),
    closedIsland(0.8, 0.4),
  ],
};

type Lines = MapSheet['speedLines'];

export function withLine(index: number, change: (line: Lines[number]) => Lines[number]): MapSheet {
  return { ...GOOD, speedLines: GOOD.speedLines.map((l, i) => (i === index ? change(l) : l)) };
}
export function withPoint(line: number, point: number, change: Partial<SheetPoint>): MapSheet {
  return withLine(line, (l) => ({ ...l, points: l.points.map((p, i) => (i === point ? { ...p, ...change } : p)) }));
}
export function withSpeed(line: number, speedRpm: number): MapSheet {
  return withLine(line, (l) => ({ ...l, speedRpm }));
}
export const point = (line: number, at: number): SheetPoint => GOOD.speedLines[line]!.points[at]!;
export const speed = (line: number): number => GOOD.speedLines[line]!.speedRpm;
export const island = (i: number, change: Partial<NonNullable<MapSheet['islands']>[number]>): MapSheet => ({
  ...GOOD,
  islands: GOOD.islands!.map((x, k) => (k === i ? { ...x, ...change } : x)),
});
export const closedIslands = GOOD.islands!.flatMap((x, i) => (x.closed ? [i] : []));
