import type { MapDraft, TurbineDraftFit } from '../../../build/index.ts';
import type { FlowAndRatio } from '../../../compressor/index.ts';
import type { MapChart, PlotSpeedLine } from '../../../plot/index.ts';
import { formatNumber, parseNumber, REFERENCE_GAS_CONSTANT } from '../../../units/index.ts';
import { drawingReference, flowPerKgPerS, pointOf, sheetSpeedRoot } from './draftPoints.ts';
import { flowUnitLabel, speedUnitLabel } from './sheetWords.ts';

/** Pieces of a curve between two expansion ratios. */
const PIECES = 48;

/** A fitted curve over expansion ratio, in pieces. */
export interface CapacityCurve {
  /** Speed as the sheet gives it; null: the sheet gives none. */
  speed: number | null;
  /** The curve at an expansion ratio, entered or extended. */
  at(expansionRatio: number): FlowAndRatio;
  pieces: readonly { points: readonly FlowAndRatio[]; extended: boolean }[];
}

/** The fitted curves as corrected flow at the drawing reference; empty while nothing is fitted. `upTo`: the highest expansion ratio drawn. */
export function capacityCurves(draft: MapDraft, { capacity }: TurbineDraftFit, upTo: number): CapacityCurve[] {
  if (capacity === null) return [];
  const { temperatureK, pressurePa } = drawingReference(draft);
  const root = Math.sqrt(REFERENCE_GAS_CONSTANT * temperatureK);
  const speedRoot = sheetSpeedRoot(draft);
  return capacity.lines.map(({ reducedSpeed, points }) => {
    const at = (pressureRatio: number): FlowAndRatio => ({
      correctedMassFlowKgPerS: (capacity.flowParameter(pressureRatio, reducedSpeed ?? 0) * pressurePa) / root,
      pressureRatio,
    });
    const ratios = points.map((p) => p.expansionRatio);
    const [low, high] = [Math.min(...ratios), Math.max(...ratios)];
    // The entered points themselves are on the curve: it may bend at them.
    const piece = (from: number, to: number, through: readonly number[] = []) =>
      [...Array.from({ length: PIECES + 1 }, (_, i) => from + ((to - from) * i) / PIECES), ...through]
        .sort((a, b) => a - b)
        .map(at);
    return {
      speed: reducedSpeed === null ? null : reducedSpeed * speedRoot,
      at,
      pieces: [
        { points: piece(1, low), extended: true },
        ...(high > low ? [{ points: piece(low, high, ratios), extended: false }] : []),
        ...(upTo > high ? [{ points: piece(high, upTo), extended: true }] : []),
      ],
    };
  });
}

/** The turbine sheet as fitted with the entered points on it; while nothing can be fitted, the points joined line by line. */
export function turbineChart(draft: MapDraft, fit: TurbineDraftFit): MapChart {
  const lines = draft.speedLines.map((line) => line.points.flatMap((row) => pointOf(draft, row) ?? []));
  const points = lines.flat();
  const highest = Math.max(1, ...points.map((p) => p.pressureRatio));
  const upTo = 1 + (highest - 1) * 1.08;
  const curves = capacityCurves(draft, fit, upTo);
  const drawn = curves.flatMap((curve) => curve.pieces.flatMap((piece) => piece.points));
  const flows = [...points, ...drawn].map((p) => p.correctedMassFlowKgPerS);
  const speedLines = curves.length > 0 ? curves.flatMap(fittedLines) : enteredLines(draft, lines);
  return {
    flowAxis: {
      title: draft.flowParameter === undefined ? 'Corrected flow' : 'Flow parameter W√T03/p03',
      unit: flowUnitLabel(draft),
      perKgPerS: flowPerKgPerS(draft),
    },
    ratioAxis: { title: 'Expansion ratio p3/p4, total to static' },
    isFlowUp: true,
    extent: {
      minFlowKgPerS: 0,
      maxFlowKgPerS: Math.max(0, ...flows) * 1.04,
      minPressureRatio: 1,
      maxPressureRatio: upTo,
    },
    speedLines,
    speedLabelNote: noteOf(draft, curves),
    surgeLine: [],
    chokeEnd: [],
    islands: [],
    islandLabelNote: '',
    ratedSpeedLine: null,
    sheetPoints: points,
  };
}

function noteOf(draft: MapDraft, curves: readonly CapacityCurve[]): string {
  if (curves.length === 0) return 'Points as entered, not fitted yet';
  const named = curves.some(({ speed }) => speed !== null);
  return named ? `Capacity as fitted: speed in ${speedUnitLabel(draft)}` : 'Capacity as fitted';
}

/** The name of a line stands at the end of what was entered of it. */
function fittedLines({ speed, pieces }: CapacityCurve): PlotSpeedLine[] {
  const named = pieces.findIndex(({ extended }) => !extended);
  return pieces.map(({ points, extended }, i) => ({
    label: speed !== null && i === Math.max(0, named) ? formatNumber(speed, 0) : '',
    kind: extended ? 'extended' : 'entered',
    points,
    isRated: false,
  }));
}

function enteredLines(draft: MapDraft, lines: readonly FlowAndRatio[][]): PlotSpeedLine[] {
  return lines.map((points, i) => {
    const speed = parseNumber(draft.speedLines[i]?.speed ?? '', 'integer-like');
    return { label: speed.ok ? formatNumber(speed.value, 0) : '', kind: 'extended', points, isRated: false };
  });
}
