import type { Island, MapSheet, SheetPlace, SpeedLine } from '../types.ts';
import type { DataPlace } from './calibration-types.ts';
import { type OutletCorrection, outletCorrection } from './correct-outlet.ts';
import { isClosedContour } from './island-closure.ts';
import { placeEfficiencies } from './place-efficiencies.ts';
import { proposeSpeeds } from './propose-speeds.ts';
import type { Assumption, CompletedSheet, CompletingProblem, SheetReading } from './sheet-reading.ts';

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
      points: island.points.map((p, point) =>
        asIsland(outlet, p, island.efficiency, { part: 'island', island: at, point }),
      ),
    }),
  );
  const surgeLine = surgeOf(reading, outlet, assumed);
  if (outlet.problems.length > 0) return { ok: false, problems: outlet.problems };
  assumed.push(...outlet.assumed(), ...unitWords(reading), efficiencyWords(lines, islands));
  return { ok: true, sheet: sheetOf(reading, ordered(lines, assumed), islands, surgeLine), assumed };
}

function sheetOf(
  reading: SheetReading,
  speedLines: readonly SpeedLine[],
  islands: readonly Island[],
  surgeLine: readonly DataPlace[],
): MapSheet {
  return {
    format: 'lugline-map',
    version: 1,
    name: reading.name,
    source: reading.source,
    reference: reading.reference,
    flowUnit: reading.flowUnit,
    speedLines,
    ...(surgeLine.length > 0 ? { surgeLine } : {}),
    ...(islands.length > 0 ? { islands } : {}),
    ...(reading.limits ? { limits: reading.limits } : {}),
    ...(reading.wheel ? { wheel: reading.wheel } : {}),
    ...(reading.invented === undefined ? {} : { invented: reading.invented }),
  };
}

/** An island's points have its efficiency, which the outlet's correction wants; the sheet's island points carry none. */
function asIsland(outlet: OutletCorrection, p: DataPlace, efficiency: number, place: SheetPlace): DataPlace {
  const { flow, pressureRatio } = outlet.correct({ ...p, efficiency }, place);
  return { flow, pressureRatio };
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

function ordered(lines: readonly SpeedLine[], assumed: Assumption[]): SpeedLine[] {
  const sorted = [...lines].sort((a, b) => a.speedRpm - b.speedRpm);
  if (sorted.some((line, i) => line !== lines[i])) {
    assumed.push({ code: 'lines-ordered', message: 'The speed lines were put in order of rising speed.' });
  }
  return sorted;
}

function unitWords({ flowUnit, reference }: SheetReading): Assumption[] {
  if (flowUnit === 'kg/s' || flowUnit === 'lb/min') return [];
  const state = `${reference.temperatureK} K and ${reference.pressurePa / 1000} kPa`;
  return [{ code: 'volume-flow', message: `Volume flow is taken as the volume at the reference state, ${state}.` }];
}

function efficiencyWords(lines: readonly SpeedLine[], islands: readonly Island[]): Assumption {
  const onPoints = lines.some((line) => line.points.some((p) => p.efficiency !== undefined));
  if (onPoints && islands.length > 0) {
    return { code: 'efficiency-from-both', message: 'Efficiency comes from points and islands together.' };
  }
  if (onPoints) return { code: 'efficiency-from-points', message: 'Efficiency comes from the points alone.' };
  if (islands.length > 0) {
    const message = 'Efficiency comes from the islands alone: beyond the outermost one it is extended, and marked so.';
    return { code: 'efficiency-from-islands', message };
  }
  return { code: 'no-efficiency', message: 'The sheet gives no efficiency: speed and margins only.' };
}
