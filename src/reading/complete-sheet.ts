import type { Island, MapSheet, SheetPoint, SpeedLine } from '../compressor/types.ts';
import { sheetFlowFactor } from '../units/index.ts';
import type { DataPlace } from './calibrate.ts';
import { ASSUMED_EFFICIENCY, totalPressureRatio } from './outlet-pressure.ts';
import { type EfficiencyReading, placeOnLines } from './place-readings.ts';

/** A sheet after a step of completing it, its lines by rising speed, and what was taken for granted, to be kept with the map. */
export interface CompletedSheet {
  sheet: MapSheet;
  assumed: readonly string[];
}

const byRisingSpeed = (lines: readonly SpeedLine[]) => [...lines].sort((a, b) => a.speedRpm - b.speedRpm);

/**
 * Efficiencies read at single places, put where the sheet can hold them: at the speed line's point that lies there, as a new point of the
 * speed line that passes there, or among the islands as a contour of one point, which the surface takes as such.
 */
export function placeEfficiencies(sheet: MapSheet, readings: readonly EfficiencyReading[]): CompletedSheet {
  const { speedLines, islands = [] } = sheet;
  const lines = speedLines.map((line) => line.points);
  const placed = placeOnLines(lines, readings, fullScale([...lines.flat(), ...islands.flatMap((i) => i.points)]));
  const apart: Island[] = placed.apart.map(({ efficiency, ...place }) => ({
    efficiency,
    closed: false,
    points: [place],
  }));
  const ordered = byRisingSpeed(speedLines.map((line, i) => ({ ...line, points: placed.lines[i]! })));
  const { onLines } = placed;
  const assumed = [
    ...(onLines > 0
      ? [`${onLines} efficiency reading${onLines === 1 ? ' was' : 's were'} put on the speed line that passes there.`]
      : []),
    ...(apart.length > 0
      ? [
          `${apart.length} efficiency reading${apart.length === 1 ? ' lies' : 's lie'} off every speed line and stand${apart.length === 1 ? 's' : ''} among the islands as a single point.`,
        ]
      : []),
  ];
  const all = [...islands, ...apart];
  return { sheet: { ...sheet, speedLines: ordered, ...(all.length > 0 && { islands: all }) }, assumed };
}

/**
 * A sheet that prints pressure ratios with the static outlet pressure, with ratios total to total: the dynamic pressure at the outlet is
 * added point by point.
 * @returns a sentence where an outlet of this diameter cannot carry a flow of the sheet
 */
export function correctOutlet(sheet: MapSheet, outletDiameterMm: number): CompletedSheet | { problem: string } {
  const factor = sheetFlowFactor(sheet.flowUnit, sheet.reference);
  let [largest, without, all, choked] = [0, 0, 0, 0];
  const correct = <T extends DataPlace & { efficiency?: number | undefined }>(point: T): T => {
    const { efficiency } = point;
    const known = efficiency !== undefined && efficiency > 0 && efficiency < 1;
    const total = totalPressureRatio({
      correctedMassFlowKgPerS: point.flow * factor,
      staticPressureRatio: point.pressureRatio,
      outletDiameterM: outletDiameterMm / 1000,
      reference: sheet.reference,
      efficiency: known ? efficiency : ASSUMED_EFFICIENCY,
    });
    if (!total.ok) {
      // What is no number is the audit's to name; it is carried over as it was typed.
      if (total.reason === 'choked') choked++;
      return point;
    }
    all++;
    if (!known) without++;
    largest = Math.max(largest, total.pressureRatio / point.pressureRatio - 1);
    return { ...point, pressureRatio: Number(total.pressureRatio.toPrecision(6)) };
  };
  const speedLines = byRisingSpeed(
    sheet.speedLines.map((line) => ({ ...line, points: line.points.map((p): SheetPoint => correct(p)) })),
  );
  const islands = sheet.islands?.map((island) => ({
    ...island,
    // The correction wants the island's efficiency; the sheet's island points carry none.
    points: island.points.map((p) => {
      const { flow, pressureRatio } = correct({ ...p, efficiency: island.efficiency });
      return { flow, pressureRatio };
    }),
  }));
  const surgeLine = sheet.surgeLine?.map((p) => correct(p));
  if (choked > 0) {
    const problem = `An outlet of ${outletDiameterMm} mm cannot carry this flow below the speed of sound. Check the outlet diameter and the flow unit.`;
    return { problem };
  }
  return {
    sheet: { ...sheet, speedLines, ...(islands && { islands }), ...(surgeLine && { surgeLine }) },
    assumed: [
      `Static outlet pressure was turned into total with an outlet of ${outletDiameterMm} mm: the pressure ratios rise by up to ${(100 * largest).toFixed(1)} %.`,
      ...(without > 0
        ? [
            `For the outlet temperature an efficiency of ${ASSUMED_EFFICIENCY} was assumed at ${without} of ${all} points; 0.1 more or less changes the pressure ratio by less than a tenth of the correction.`,
          ]
        : []),
    ],
  };
}

function fullScale(points: readonly DataPlace[]): DataPlace {
  const most = (of: (p: DataPlace) => number) => Math.max(...points.map(of).filter(Number.isFinite), 0) || 1;
  return { flow: most((p) => p.flow), pressureRatio: most((p) => p.pressureRatio) };
}

/** A gap no longer than this many of the contour's usual steps, or than this share of its length, is no gap. */
const STEPS = 1.6;
const LENGTH_SHARE = 0.06;

/**
 * Whether a traced contour is a closed island or is cut by the edge of the map: closed where its ends lie about as close together as its
 * neighbouring points do.
 * @param scale full scale of the sheet, so that flow and pressure ratio count alike
 * @returns false for fewer than four points.
 */
export function isClosedContour(points: readonly DataPlace[], scale: DataPlace): boolean {
  if (points.length < 4) return false;
  const step = (a: DataPlace, b: DataPlace) =>
    Math.hypot((a.flow - b.flow) / scale.flow, (a.pressureRatio - b.pressureRatio) / scale.pressureRatio);
  const steps = points.slice(1).map((p, i) => step(points[i]!, p));
  const length = steps.reduce((sum, s) => sum + s, 0);
  const usual = [...steps].sort((a, b) => a - b)[steps.length >> 1]!;
  const gap = step(points[0]!, points[points.length - 1]!);
  return gap <= Math.max(STEPS * usual, LENGTH_SHARE * length);
}
