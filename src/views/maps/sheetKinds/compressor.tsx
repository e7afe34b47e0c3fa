import { useCallback, useMemo } from 'react';
import { type DraftFit, type MapDraft, mapGeometry, speedLineAt } from '../../../build/index.ts';
import type { CompressorSurface, FlowAndRatio } from '../../../compressor/index.ts';
import type { MapChart } from '../../../plot/index.ts';
import { formatNumber, kgPerSToSheetFlow, sheetFlowToKgPerS, sheetFlowUnits } from '../../../units/index.ts';
import { drawingReference, flowPerKgPerS, pointOf, speedOf } from '../editDraft.ts';
import { type PictureProps, SheetPicture } from '../SheetPicture.tsx';

export interface MapPictureProps extends PictureProps {
  fit: DraftFit;
  withIslandPoints: boolean;
}

/** The fitted compressor map over the entered points. */
export function MapPicture({ fit, withIslandPoints, ...props }: MapPictureProps) {
  const { draft } = props;
  const chart = useMemo(() => sheetChart(draft, fit, withIslandPoints), [draft, fit, withIslandPoints]);
  const describe = useCallback(
    (at: { correctedMassFlowKgPerS: number; pressureRatio: number }) =>
      readout(draft, fit.surface, at, flowPerKgPerS(draft)),
    [draft, fit],
  );
  const help = 'Largest distance between the fitted surface and an entered point';
  return (
    <SheetPicture
      {...props}
      chart={chart}
      findings={fit.findings}
      describe={describe}
      kind="Compressor map"
      strip={{ words: stripWords(fit), isFitted: fit.surface !== null, help }}
    />
  );
}

/** How the fit stands. */
function stripWords(fit: DraftFit): string {
  const quality = fitQuality(fit);
  if (quality !== null) return fitWords(quality);
  const errors = fit.findings.filter((f) => f.severity === 'error').length;
  if (errors === 0) return 'Not a map yet: two speed lines with two points each are needed';
  return `Not a map yet: ${errors === 1 ? 'an error' : `${errors} errors`} in the audit below`;
}

function readout(
  draft: MapDraft,
  surface: CompressorSurface | null,
  at: { correctedMassFlowKgPerS: number; pressureRatio: number },
  perKgPerS: number,
): string[] {
  const unit = sheetFlowUnits[draft.flowUnit];
  const lines = [
    `${formatNumber(at.correctedMassFlowKgPerS * perKgPerS, Math.min(unit.decimals, 3))} ${unit.label}`,
    `Pressure ratio ${formatNumber(at.pressureRatio, 2)}`,
  ];
  if (surface === null) return lines;
  const on = surface.at(at.correctedMassFlowKgPerS, at.pressureRatio);
  if (on.correctedSpeedRpm === null) return [...lines, 'outside the map'];
  const marked = on.extended ? ', extended' : '';
  lines.push(`${formatNumber(on.correctedSpeedRpm, 0)} rpm corrected${marked}`);
  if (on.efficiency !== null) lines.push(`Efficiency ${formatNumber(on.efficiency * 100, 1)} %`);
  return lines;
}

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

/** How closely the fitted surface passes the entered points of the speed lines. */
export interface FitQuality {
  points: number;
  /** Largest distance in speed, as a share; of the points that the surface answers for. */
  speed: number;
  /** Largest distance in efficiency, 0..1; null where no point has one. */
  efficiency: number | null;
}

/** null while nothing is fitted. */
export function fitQuality({ sheet, surface }: DraftFit): FitQuality | null {
  if (sheet === null || surface === null) return null;
  const quality: FitQuality = { points: 0, speed: 0, efficiency: null };
  for (const line of sheet.speedLines) {
    for (const p of line.points) {
      const at = surface.at(sheetFlowToKgPerS(p.flow, sheet.flowUnit, sheet.reference), p.pressureRatio);
      if (at.correctedSpeedRpm === null) continue;
      quality.points++;
      quality.speed = Math.max(quality.speed, Math.abs(at.correctedSpeedRpm / line.speedRpm - 1));
      if (p.efficiency === undefined || at.efficiency === null) continue;
      quality.efficiency = Math.max(quality.efficiency ?? 0, Math.abs(at.efficiency - p.efficiency));
    }
  }
  return quality;
}

/** One line for under the plot. */
export function fitWords(quality: FitQuality): string {
  const { points, speed, efficiency } = quality;
  const eta = efficiency === null ? '' : `, efficiency within ${formatNumber(efficiency * 100, 1)} points`;
  return `Fitted through ${points} points: speed within ${formatNumber(speed * 100, 2)} %${eta}`;
}
