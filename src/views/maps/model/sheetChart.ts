import { type DraftFit, type MapDraft, mapGeometry, speedLineAt } from '../../../build/index.ts';
import type { FlowAndRatio } from '../../../compressor/index.ts';
import type { MapChart } from '../../../plot/index.ts';
import { formatNumber, kgPerSToSheetFlow, sheetFlowUnits } from '../../../units/index.ts';
import { drawingReference, pointOf } from './draftPoints.ts';
import { speedOf } from './editDraft.ts';

/** The map as fitted with the entered points on it; while nothing can be fitted, the points as they stand, joined line by line. */
export function sheetChart(draft: MapDraft, fit: DraftFit, withIslandPoints: boolean): MapChart {
  const points = enteredPoints(draft, withIslandPoints);
  const { surface, sheet } = fit;
  if (surface === null || sheet === null) return unfittedChart(draft, points);
  const geometry = mapGeometry(surface, sheet);
  // On the sheet itself the reference temperature is the day's: corrected and physical speed are the same number.
  const rpm = surface.limits.shaftSpeedRpm;
  const limit = rpm === undefined ? [] : speedLineAt(surface, rpm);
  return {
    ...axes(draft),
    extent: reaching({ minFlowKgPerS: 0, minPressureRatio: 1, ...geometry.extent }, points),
    speedLines: geometry.speedLines.map(({ correctedSpeedRpm, entered, line }) => ({
      label: formatNumber(correctedSpeedRpm, 0),
      kind: entered ? 'entered' : 'extended',
      points: line.points,
      isRated: false,
    })),
    speedLabelNote: 'Speed lines as fitted: corrected speed in rpm',
    surgeLine: geometry.surgeLine,
    chokeEnd: geometry.chokeEnd,
    islands: geometry.islands.map((contour) => ({
      contour,
      label: `${formatNumber(contour.efficiency * 100, Number.isInteger(Number((contour.efficiency * 100).toFixed(3))) ? 0 : 1)} %`,
    })),
    islandLabelNote: geometry.islands.length === 0 ? '' : 'Efficiency islands: total to total, %',
    ratedSpeedLine:
      rpm === undefined || limit.length === 0 ? null : { pieces: limit, label: `limit ${formatNumber(rpm, 0)} rpm` },
    sheetPoints: points,
  };
}

function axes(draft: MapDraft): Pick<MapChart, 'flowAxis' | 'ratioAxis'> {
  const isVolume = draft.flowUnit === 'm3/s' || draft.flowUnit === 'cfm';
  return {
    flowAxis: {
      title: isVolume ? 'Corrected volume flow' : 'Corrected air flow',
      unit: sheetFlowUnits[draft.flowUnit].label,
      perKgPerS: kgPerSToSheetFlow(1, draft.flowUnit, drawingReference(draft)),
    },
    ratioAxis: { title: 'Pressure ratio, total to total' },
  };
}

/** The points of islands are many and lie close: they are shown while the islands are being worked on. */
function enteredPoints(draft: MapDraft, withIslandPoints: boolean): FlowAndRatio[] {
  const islands = withIslandPoints ? draft.islands.flatMap((i) => i.points) : [];
  const rows = [...draft.speedLines.flatMap((l) => l.points), ...draft.surgeLine, ...islands];
  return rows.flatMap((row) => pointOf(draft, row) ?? []);
}

/** A mistyped point is drawn too, unless it is so far out that the map would shrink to nothing. */
function reaching(extent: MapChart['extent'], points: readonly FlowAndRatio[]): MapChart['extent'] {
  const within = points.filter(
    (p) => p.correctedMassFlowKgPerS < 1.5 * extent.maxFlowKgPerS && p.pressureRatio < 1.5 * extent.maxPressureRatio,
  );
  return {
    ...extent,
    maxFlowKgPerS: Math.max(extent.maxFlowKgPerS, ...within.map((p) => p.correctedMassFlowKgPerS)),
    maxPressureRatio: Math.max(extent.maxPressureRatio, ...within.map((p) => p.pressureRatio)),
  };
}

function unfittedChart(draft: MapDraft, points: readonly FlowAndRatio[]): MapChart {
  const drawn = draft.speedLines.map((line) => ({
    speed: speedOf(line),
    points: line.points.flatMap((row) => pointOf(draft, row) ?? []),
  }));
  return {
    ...axes(draft),
    extent: {
      minFlowKgPerS: 0,
      maxFlowKgPerS: Math.max(0, ...points.map((p) => p.correctedMassFlowKgPerS)),
      minPressureRatio: 1,
      maxPressureRatio: Math.max(1, ...points.map((p) => p.pressureRatio)),
    },
    speedLines: drawn.map(({ speed, points: path }) => ({
      label: speed === null ? 'no speed' : formatNumber(speed, 0),
      kind: 'extended',
      points: path,
      isRated: false,
    })),
    speedLabelNote: 'Points as entered, not fitted yet',
    surgeLine: [],
    chokeEnd: [],
    islands: [],
    islandLabelNote: '',
    ratedSpeedLine: null,
    sheetPoints: points,
  };
}
