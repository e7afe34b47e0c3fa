import type {
  FlowUnit,
  Island,
  MapSheet,
  ReferenceState,
  SheetPlace,
  SheetPoint,
  SpeedLine,
} from '../compressor/index.ts';
import { isVolumeFlow } from '../units/index.ts';
import type { DataPlace } from './calibrate.ts';
import { type OutletCorrection, outletCorrection } from './outlet-pressure.ts';
import { placeEfficiencies } from './place-readings.ts';
import { proposeSpeeds } from './propose-speeds.ts';

/** What a person read off a sheet, in whichever way the sheet gives it. Flow in `flowUnit` throughout. */
export interface SheetReading {
  name: string;
  source: string;
  reference: ReferenceState;
  flowUnit: FlowUnit;
  lines: readonly {
    /** How the line is labelled on the sheet. */
    label: { kind: 'rpm' | 'percent'; value: number } | { kind: 'none' };
    points: readonly SheetPoint[];
  }[];
  /** Speed that stands for 100 %, corrected rev/min; needed where a label is in percent. */
  designSpeedRpm?: number | undefined;
  /** 'line': drawn by itself. 'line-ends': the left ends of the speed lines are the surge line. */
  surge: { kind: 'line'; points: readonly DataPlace[] } | { kind: 'line-ends' };
  /** closed left out: judged from the shape. */
  islands?: readonly { efficiency: number; closed?: boolean | undefined; points: readonly DataPlace[] }[] | undefined;
  /** Efficiencies printed at single places, on a line or anywhere. 0..1 */
  efficiencyReadings?: readonly (DataPlace & { efficiency: number })[] | undefined;
  /** Outlet pressure that the ratio is made with. Static: a diameter is needed to correct it to total. */
  outletPressure:
    | { kind: 'total' }
    | {
        kind: 'static';
        outletDiameterMm?: number | undefined;
        /** Assumed at points without one, 0..1. Default 0.7. */
        assumedEfficiency?: number | undefined;
      };
  limits?: MapSheet['limits'];
  wheel?: MapSheet['wheel'];
  invented?: boolean | undefined;
}

/** What was taken for granted on the way to the sheet: to be shown and kept with the map. */
export interface Assumption {
  code:
    | 'percent-speeds'
    | 'speeds-proposed'
    | 'surge-from-line-ends'
    | 'surge-drawn'
    | 'efficiency-from-islands'
    | 'efficiency-from-points'
    | 'efficiency-from-both'
    | 'no-efficiency'
    | 'efficiency-placed-on-line'
    | 'efficiency-kept-apart'
    | 'volume-flow'
    | 'total-pressure'
    | 'static-to-total'
    | 'efficiency-assumed'
    | 'island-judged-open'
    | 'island-judged-closed'
    | 'lines-ordered';
  message: string;
  place?: SheetPlace | undefined;
}

export interface CompletingProblem {
  code:
    | 'no-design-speed'
    | 'no-outlet-diameter'
    | 'outlet-choked'
    | 'cannot-propose-speeds'
    | 'speed-not-positive'
    | 'reference-not-positive';
  message: string;
  place?: SheetPlace | undefined;
}

export type CompletedSheet =
  | { ok: true; sheet: MapSheet; assumed: readonly Assumption[] }
  | { ok: false; problems: readonly CompletingProblem[] };

/** A speed proposed for a line without a label. Places count the lines as read. */
export interface ProposedSpeed {
  line: number;
  speedRpm: number;
  /** Standard uncertainty as a share of the speed. */
  uncertainty: number;
  /** The same rounded as a sheet would print it, where a round number lies within the uncertainty; else speedRpm rounded to 100. */
  roundedRpm: number;
}

/**
 * From what a person read off a sheet, in whichever way the sheet gives it, to the map sheet that everything else takes: percent speeds to
 * rev/min, lines without labels to proposed speeds, static outlet pressure to total, single efficiencies to lines, islands judged open or
 * closed, surge as drawn or at the lines' ends.
 * @returns the sheet and what was taken for granted, in words; or what is missing for it. Flow stays in the sheet's unit.
 */
export function completeSheet(reading: SheetReading): CompletedSheet {
  const { temperatureK, pressurePa } = reading.reference;
  if (!(temperatureK > 0 && pressurePa > 0)) {
    const message =
      'The reference state is missing. Enter the temperature and pressure that the sheet corrects its flow to.';
    return { ok: false, problems: [{ code: 'reference-not-positive', message, place: { part: 'reference' } }] };
  }
  const assumed: Assumption[] = [];
  const outlet = outletCorrection(reading);
  const speeds = speedsOf(reading, assumed);
  if (!('rpm' in speeds)) return { ok: false, problems: [...outlet.problems, ...speeds.problems] };
  const scale = fullScale(reading);
  const placed = placeEfficiencies(
    reading.lines.map((line) => line.points),
    reading.efficiencyReadings ?? [],
    scale,
  );
  assumed.push(...placed.assumed);
  const lines = placed.lines.map(
    (points, line): SpeedLine => ({
      speedRpm: speeds.rpm[line]!,
      points: points.map((p, point) => outlet.correct(p, { part: 'speed-line', line, point })),
    }),
  );
  const islands = [...islandsOf(reading, scale, assumed), ...placed.apart].map(
    (island, at): Island => ({
      ...island,
      points: island.points.map((p, point) => {
        // The outlet's correction wants the island's efficiency; the sheet's island points carry none.
        const read = { ...p, efficiency: island.efficiency };
        const { flow, pressureRatio } = outlet.correct(read, { part: 'island', island: at, point });
        return { flow, pressureRatio };
      }),
    }),
  );
  const surgeLine = surgeOf(reading, outlet, assumed);
  if (outlet.problems.length > 0) return { ok: false, problems: outlet.problems };
  assumed.push(...outlet.assumed(), ...volumeFlow(reading), efficiencySource(lines, islands));
  const speedLines = [...lines].sort((a, b) => a.speedRpm - b.speedRpm);
  if (speedLines.some((line, i) => line !== lines[i]))
    assumed.push({ code: 'lines-ordered', message: 'The speed lines were put in order of rising speed.' });
  const { name, source, reference, flowUnit, limits, wheel, invented } = reading;
  const sheet: MapSheet = {
    format: 'lugline-map',
    version: 1,
    name,
    source,
    reference,
    flowUnit,
    speedLines,
    ...(surgeLine.length > 0 ? { surgeLine } : {}),
    ...(islands.length > 0 ? { islands } : {}),
    ...(limits ? { limits } : {}),
    ...(wheel ? { wheel } : {}),
    ...(invented === undefined ? {} : { invented }),
  };
  return { ok: true, sheet, assumed };
}

function speedsOf(reading: SheetReading, assumed: Assumption[]): { rpm: number[] } | { problems: CompletingProblem[] } {
  const problems: CompletingProblem[] = [];
  const { designSpeedRpm } = reading;
  const hasDesign = designSpeedRpm !== undefined && designSpeedRpm > 0;
  const percent = reading.lines.some((line) => line.label.kind === 'percent');
  if (percent && !hasDesign) {
    const message = 'Speeds are in percent. Enter the design speed that stands for 100 %, in corrected rpm.';
    problems.push({ code: 'no-design-speed', message });
  }
  const known = reading.lines.map(({ label }, line) => {
    if (label.kind === 'none') return null;
    if (!(label.value > 0) || !Number.isFinite(label.value)) {
      const message = `Speed line ${line + 1}: the speed is not a number above zero. Enter it, or leave the line without a label.`;
      problems.push({ code: 'speed-not-positive', message, place: { part: 'speed-line', line } });
      return null;
    }
    if (label.kind === 'rpm') return label.value;
    return hasDesign ? Number(((label.value / 100) * designSpeedRpm).toPrecision(10)) : null;
  });
  if (problems.length > 0) return { problems };
  if (percent) {
    assumed.push({
      code: 'percent-speeds',
      message: `Percent speeds were multiplied by the design speed of ${designSpeedRpm} rpm, taken as corrected to the sheet's reference.`,
    });
  }
  return withProposals(reading, known, assumed);
}

function withProposals(
  reading: SheetReading,
  known: readonly (number | null)[],
  assumed: Assumption[],
): { rpm: number[] } | { problems: CompletingProblem[] } {
  const proposals = proposeSpeeds({
    lines: reading.lines.map((line, i) => ({ speedRpm: known[i]!, points: line.points })),
    exducerMm: reading.wheel?.exducerMm,
    referenceTemperatureK: reading.reference.temperatureK,
  });
  const rpm = known.map((speed, i) => speed ?? proposals?.find((p) => p.line === i)?.roundedRpm ?? null);
  const missing = rpm.flatMap((speed, i) => (speed === null ? [i] : []));
  if (missing.length > 0) {
    const [first] = missing;
    const message = `${missing.length} speed line${missing.length === 1 ? ' has' : 's have'} no label, and nothing says what speed they belong to. Enter the speed of one line, or the exducer diameter of the wheel.`;
    return { problems: [{ code: 'cannot-propose-speeds', message, place: { part: 'speed-line', line: first! } }] };
  }
  for (const p of proposals ?? []) {
    assumed.push({
      code: 'speeds-proposed',
      message: `Speed line ${p.line + 1} has no label: ${p.roundedRpm} rpm is proposed from its pressure ratios (${Math.round(p.speedRpm)} rpm, give or take ${(100 * p.uncertainty).toFixed(1)} %). Check it.`,
      place: { part: 'speed-line', line: p.line },
    });
  }
  return { rpm: rpm.flatMap((speed) => speed ?? []) };
}

function fullScale(reading: SheetReading): DataPlace {
  const all = [...reading.lines.flatMap((line) => line.points), ...(reading.islands ?? []).flatMap((i) => i.points)];
  const most = (of: (p: DataPlace) => number) => Math.max(...all.map(of).filter(Number.isFinite), 0) || 1;
  return { flow: most((p) => p.flow), pressureRatio: most((p) => p.pressureRatio) };
}

function islandsOf(reading: SheetReading, scale: DataPlace, assumed: Assumption[]): Island[] {
  return (reading.islands ?? []).map(({ efficiency, closed, points }, island) => {
    if (closed !== undefined) return { efficiency, closed, points };
    const judged = isClosedContour(points, scale);
    assumed.push({
      code: judged ? 'island-judged-closed' : 'island-judged-open',
      message: judged
        ? `The island at ${efficiency} ends where it began: taken as closed.`
        : `The island at ${efficiency} ends apart from where it began: taken as open, cut by the edge of the map.`,
      place: { part: 'island', island },
    });
    return { efficiency, closed: judged, points };
  });
}

function surgeOf(reading: SheetReading, outlet: OutletCorrection, assumed: Assumption[]): DataPlace[] {
  if (reading.surge.kind === 'line') {
    assumed.push({ code: 'surge-drawn', message: 'Surge is the line that the sheet draws.' });
    return reading.surge.points.map((p, point) => outlet.correct(p, { part: 'surge-line', point }));
  }
  // No surge line of its own: the surface takes the left ends of the speed lines, which stay what they are.
  assumed.push({ code: 'surge-from-line-ends', message: 'Surge is taken at the left end of every speed line.' });
  return [];
}

function volumeFlow({ flowUnit, reference }: SheetReading): Assumption[] {
  if (!isVolumeFlow(flowUnit)) return [];
  const state = `${reference.temperatureK} K and ${reference.pressurePa / 1000} kPa`;
  return [{ code: 'volume-flow', message: `Volume flow is taken as the volume at the reference state, ${state}.` }];
}

function efficiencySource(lines: readonly SpeedLine[], islands: readonly Island[]): Assumption {
  const onPoints = lines.some((line) => line.points.some((p) => p.efficiency !== undefined));
  if (onPoints && islands.length > 0)
    return { code: 'efficiency-from-both', message: 'Efficiency comes from points and islands together.' };
  if (onPoints) return { code: 'efficiency-from-points', message: 'Efficiency comes from the points alone.' };
  if (islands.length === 0)
    return { code: 'no-efficiency', message: 'The sheet gives no efficiency: speed and margins only.' };
  const message = 'Efficiency comes from the islands alone: beyond the outermost one it is extended, and marked so.';
  return { code: 'efficiency-from-islands', message };
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
