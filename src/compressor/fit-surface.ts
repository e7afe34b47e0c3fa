import { sheetFlowFactor } from '../units/index.ts';
import { EfficiencyField, type EfficiencyReading } from './efficiency-field.ts';
import { Boundary, type BoundaryReading, FittedSurface } from './fitted-surface.ts';
import { flowReadingStep, readingStep, spreadIndices } from './gaussian-process.ts';
import { packed, unpacked } from './kept-fit.ts';
import {
  Alignment,
  LEAST_AXIS_STEP,
  placeError,
  pressureRatioOf,
  relativeStep,
  similarityScale,
  toPolar,
} from './similarity.ts';
import { SpeedField } from './speed-field.ts';
import type { AuditFinding, CompressorSurface, FitResult, KeptFit, MapSheet } from './types.ts';

/** A point of the sheet that the surface can use, SI. */
interface UsablePoint {
  flowKgPerS: number;
  pressureRatio: number;
}

/** One of a speed line. */
export interface LinePoint extends UsablePoint {
  line: number;
  speedRpm: number;
  efficiency: number | null;
}

/** A pressure ratio nearer to 1 than this has no head to speak of: left out of the fit (the audit names it). */
export const LEAST_PRESSURE_RATIO = 1.002;

function usable({ flow, pressureRatio }: { flow: number; pressureRatio: number }): boolean {
  return Number.isFinite(flow) && flow > 0 && Number.isFinite(pressureRatio) && pressureRatio >= LEAST_PRESSURE_RATIO;
}

/** Points of the speed lines in SI, lines in rising speed, points in the order of the sheet. */
export function linePoints(sheet: MapSheet): LinePoint[] {
  const factor = sheetFlowFactor(sheet.flowUnit, sheet.reference);
  return sheet.speedLines
    .map((line, index) => ({ line, index }))
    .filter(({ line }) => Number.isFinite(line.speedRpm) && line.speedRpm > 0)
    .sort((a, b) => a.line.speedRpm - b.line.speedRpm)
    .flatMap(({ line, index }) =>
      line.points.filter(usable).map((point) => ({
        line: index,
        speedRpm: line.speedRpm,
        flowKgPerS: point.flow * factor,
        pressureRatio: point.pressureRatio,
        efficiency: usableEfficiency(point.efficiency) ? point.efficiency : null,
      })),
    );
}

function usableEfficiency(value: number | undefined): value is number {
  return value !== undefined && Number.isFinite(value) && value > 0 && value < 1;
}

function usablePoints(sheet: MapSheet, points: readonly { flow: number; pressureRatio: number }[]): UsablePoint[] {
  const factor = sheetFlowFactor(sheet.flowUnit, sheet.reference);
  return points.filter(usable).map(({ flow, pressureRatio }) => ({ flowKgPerS: flow * factor, pressureRatio }));
}

/** Above this the fit would take longer than a keystroke may; the points are thinned evenly along each line. */
const MOST_POINTS = 180;
const MOST_EFFICIENCY_READINGS = 150;

/** A sheet that no surface can be fitted to; `findings` say why, in plain words and with places. */
export class SheetNotFittable extends Error {
  readonly findings: readonly AuditFinding[];
  constructor(findings: readonly AuditFinding[]) {
    super(findings.map((finding) => finding.message).join(' '));
    this.name = 'SheetNotFittable';
    this.findings = findings;
  }
}

/**
 * Fit a surface to a sheet as entered.
 * Speed and efficiency are fitted over similarity coordinates (similarity.ts) by Gaussian-process regression whose noise comes from
 * the sheet's own rounding; see physics in README. At least two speed lines with two usable points each (pressure ratio over 1.002).
 * @throws SheetNotFittable when there is too little or it contradicts itself beyond fitting; `tryFitSurface` returns that instead.
 */
export function fitSurface(sheet: MapSheet): CompressorSurface {
  const result = tryFitSurface(sheet);
  if (!result.ok) throw new SheetNotFittable(result.problems);
  return result.surface;
}

function problem(code: string, message: string, place?: AuditFinding['place']): FitResult {
  return { ok: false, problems: [{ severity: 'error', code, message, ...(place ? { place } : {}) }] };
}

/**
 * As fitSurface, with the reasons as a value.
 * @param kept the `kept` of an earlier result for this very sheet (see `fitKey`): the same surface without its search. Where it cannot be
 * of this sheet, it is passed over.
 */
export function tryFitSurface(sheet: MapSheet, kept?: KeptFit): FitResult {
  const { temperatureK, pressurePa } = sheet.reference;
  if (!(temperatureK > 0 && Number.isFinite(temperatureK) && pressurePa > 0 && Number.isFinite(pressurePa))) {
    return problem(
      'no-reference',
      'The reference state is missing: enter the temperature and pressure that the sheet corrects its flow to.',
      { part: 'reference' },
    );
  }
  const points = thin(linePoints(sheet));
  const lines = groupBySpeed(points);
  if (lines.length < 2) {
    return problem(
      'too-few-lines',
      `A map needs at least two speed lines with two points each (flow above 0, pressure ratio above 1); this sheet has ${lines.length}. Enter another line.`,
    );
  }
  return fitPoints(sheet, points, lines, kept);
}

function fitPoints(
  sheet: MapSheet,
  points: readonly LinePoint[],
  lines: readonly LinePoint[][],
  kept: KeptFit | undefined,
): FitResult {
  const factor = sheetFlowFactor(sheet.flowUnit, sheet.reference);
  const flowStep =
    factor *
    flowReadingStep(
      sheet.speedLines.flatMap((line) => line.points.map((p) => p.flow)),
      sheet.flowUnit,
    );
  const ratioStep = readingStep(points.map((p) => p.pressureRatio));
  const scale = similarityScale(points);
  const place = (p: UsablePoint) => toPolar(scale, p.flowKgPerS, p.pressureRatio);
  const step = (p: UsablePoint) => relativeStep(p, flowStep, ratioStep);
  const polar = points.map(place);
  const axisFlow = LEAST_AXIS_STEP * Math.max(...points.map((p) => p.flowKgPerS));
  const axisRatio = LEAST_AXIS_STEP * (Math.max(...points.map((p) => p.pressureRatio)) - 1);
  const errors = points.map((p) => placeError(step(p), relativeStep(p, axisFlow, axisRatio)));
  const contours = (sheet.islands ?? []).flatMap(({ efficiency, points: contour }) =>
    usableEfficiency(efficiency) ? usablePoints(sheet, contour).map((point) => ({ ...point, efficiency })) : [],
  );
  const alignments = Alignment.candidates(
    lines.map((line) => ({ surge: place(line[0]!), choke: place(line[line.length - 1]!) })),
  );
  const [speedBefore, efficiencyBefore] = unpacked(kept);
  const field = SpeedField.fit(points, polar, errors, scale, alignments, speedBefore);
  if (!field) {
    return problem(
      'contradictory',
      'The speed lines contradict one another so far that no single speed belongs to each point. Look for a mistyped speed, flow or pressure ratio.',
    );
  }
  const readings: EfficiencyReading[] = [
    ...points.flatMap((p, i) => {
      if (p.efficiency === null) return [];
      const { place: at, error } = field.settled(polar[i]!, p.speedRpm, placeError(step(p)));
      return [{ polar: at, error, efficiency: p.efficiency, fromIsland: false }];
    }),
    ...contours.map((p) => ({
      polar: place(p),
      error: placeError(step(p)),
      efficiency: p.efficiency,
      fromIsland: true,
    })),
  ];
  const chosen = spreadIndices(readings.length, MOST_EFFICIENCY_READINGS).map((i) => readings[i]!);
  const efficiencyStep = readingStep(points.flatMap((p) => (p.efficiency === null ? [] : [p.efficiency])));
  const lineRpm = lines.map((line) => line[0]!.speedRpm);
  const efficiency = EfficiencyField.fit(chosen, efficiencyStep, alignments, lineRpm, field.box, efficiencyBefore);

  const lowestLineRpm = lines[0]![0]!.speedRpm;
  const highestLineRpm = lines[lines.length - 1]![0]!.speedRpm;
  // One spacing above the top line; lines a hair apart (measured readings of one nominal speed) are one line here.
  const below = lines.findLast((line) => line[0]!.speedRpm < 0.98 * highestLineRpm)?.[0]?.speedRpm;
  const highestAnswerRpm = below === undefined ? 1.05 * highestLineRpm : 2 * highestLineRpm - below;
  const lowestAnswerRpm = 0.05 * lowestLineRpm;
  const flowOf = (angle: number, size: number) =>
    size * scale.topRpm * Math.cos((angle * Math.PI) / 2) * scale.flowPerRpm;
  const reading = (p: UsablePoint, speedRpm: number): BoundaryReading => {
    const { angle } = place(p);
    const s = step(p);
    return { speedRpm, angle, room: (Math.sin(Math.PI * angle) / Math.PI) * 0.5 * (s.flow + s.rootHead) };
  };
  const surge = surgeReadings(sheet, lines, field, reading, place);
  const choke = lines.map((line) => reading(line[line.length - 1]!, line[0]!.speedRpm));
  return {
    ok: true,
    kept: packed(field.found, efficiency?.found ?? null),
    surface: new FittedSurface({
      reference: sheet.reference,
      scale,
      field,
      efficiency,
      efficiencyFromIslandsOnly: readings.length > 0 && readings.every((r) => r.fromIsland),
      surge: new Boundary(surge, field, flowOf, lowestAnswerRpm, highestAnswerRpm),
      choke: new Boundary(choke, field, flowOf, lowestAnswerRpm, highestAnswerRpm),
      place: (flowKgPerS, pressureRatio) => toPolar(scale, flowKgPerS, pressureRatio),
      pointAt: (angle, size) => ({
        correctedMassFlowKgPerS: flowOf(angle, size),
        pressureRatio: pressureRatioOf(size * scale.topRpm * Math.sin((angle * Math.PI) / 2) * scale.rootHeadPerRpm),
      }),
      relativeRounding: (flowKgPerS, pressureRatio) => {
        const rounding = relativeStep({ flowKgPerS, pressureRatio }, flowStep, ratioStep);
        return rounding.flow + rounding.rootHead;
      },
      lowestLineRpm,
      highestLineRpm,
      lowestAnswerRpm,
      highestAnswerRpm,
      extent: {
        maxFlowKgPerS: Math.max(...points.map((p) => p.flowKgPerS)),
        maxPressureRatio: Math.max(...points.map((p) => p.pressureRatio)),
      },
      limits: sheet.limits ?? {},
      wheel: sheet.wheel ?? {},
    }),
  };
}

/** Lines in rising speed, each in rising flow; lines typed twice at the same speed are read as one. */
function groupBySpeed(points: readonly LinePoint[]): LinePoint[][] {
  const groups = new Map<number, LinePoint[]>();
  for (const point of points) groups.set(point.speedRpm, [...(groups.get(point.speedRpm) ?? []), point]);
  return [...groups.values()]
    .filter((line) => line.length >= 2)
    .map((line) => orderAlong(line))
    .sort((a, b) => a[0]!.speedRpm - b[0]!.speedRpm);
}

/**
 * From surge to choke: rising flow less falling pressure, each over the line's own span. Rising flow alone would shuffle the points of a
 * near-vertical choke part, where the flow of measured points scatters.
 */
function orderAlong(line: readonly LinePoint[]): LinePoint[] {
  const span = (of: (p: LinePoint) => number) =>
    Math.max(...line.map(of)) - Math.min(...line.map(of)) || Number.POSITIVE_INFINITY;
  const flowSpan = span((p) => p.flowKgPerS);
  const ratioSpan = span((p) => p.pressureRatio);
  const along = (p: LinePoint) => p.flowKgPerS / flowSpan - (0.5 * p.pressureRatio) / ratioSpan;
  return [...line].sort((a, b) => along(a) - along(b));
}

/** The surge line where the sheet has one, and the lines' left ends at the speeds that it does not reach. */
function surgeReadings(
  sheet: MapSheet,
  lines: readonly LinePoint[][],
  field: SpeedField,
  reading: (p: UsablePoint, speedRpm: number) => BoundaryReading,
  place: (p: UsablePoint) => { angle: number; size: number },
): BoundaryReading[] {
  const drawn = usablePoints(sheet, sheet.surgeLine ?? []).flatMap((p) => {
    const polar = place(p);
    return field.holds(polar.angle, polar.size) ? [reading(p, field.speedAt(polar.angle, polar.size))] : [];
  });
  const ends = lines.map((line) => reading(line[0]!, line[0]!.speedRpm));
  if (drawn.length < 2) return ends;
  const low = Math.min(...drawn.map((r) => r.speedRpm));
  const high = Math.max(...drawn.map((r) => r.speedRpm));
  return [...drawn, ...ends.filter((end) => end.speedRpm < low * 0.98 || end.speedRpm > high * 1.02)];
}

function thin(points: readonly LinePoint[]): LinePoint[] {
  if (points.length <= MOST_POINTS) return [...points];
  const byLine = new Map<number, LinePoint[]>();
  for (const p of points) byLine.set(p.line, [...(byLine.get(p.line) ?? []), p]);
  const each = Math.max(4, Math.floor(MOST_POINTS / byLine.size));
  return [...byLine.values()].flatMap((line) => {
    if (line.length <= each) return line;
    const ordered = orderAlong(line);
    return Array.from({ length: each }, (_, i) => ordered[Math.round((i * (line.length - 1)) / (each - 1))]!);
  });
}
