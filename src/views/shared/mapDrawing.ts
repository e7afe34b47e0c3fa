import type { MapGeometry } from '../../build/index.ts';
import {
  type FlowAndRatio,
  type ReferenceState,
  referenceFactors,
  referredSheet,
  referTo,
} from '../../compressor/index.ts';
import {
  type Finding,
  lineParts,
  type MatchInput,
  type OperatingPoint,
  type OperatingPointSolved,
  titleWithOwner,
} from '../../match/index.ts';
import { memory } from '../../numerics/index.ts';
import type { CandidateStyle, MapChart, PlotOperatingLine, PlotOperatingPoint, PlotPlace } from '../../plot/index.ts';
import type { CandidateResults } from '../../store/index.ts';
import {
  formatNumber,
  isVolumeFlow,
  joined,
  kgPerSToSheetFlow,
  type SheetFlowUnit,
  sheetFlowUnits,
} from '../../units/index.ts';
import type { FindingWords } from './findingSentences.ts';

/** What the chart needs beside the map itself. */
interface ChartDay {
  flowUnit: SheetFlowUnit;
  /** What the labels are; 'corrected' also while the air inputs cannot be read. */
  labels: 'physical' | 'corrected';
  /** Labels of the speed lines (speedLabels). */
  speedLabels: readonly string[];
  /** The day's compressor inlet temperature as it is shown: '24 °C'. */
  inletTemperature: string;
  /** Several turbos share the engine's flow: the axis says that it is of one. */
  several?: true | undefined;
  /** The maker's maximum physical speed brought to the map, with its line; null without a limit. */
  limit: { rpm: number; pieces: NonNullable<MapChart['ratedSpeedLine']>['pieces'] } | null;
}

/** Label of every speed line, in the order of the geometry: shaft speeds of the day with a factor, corrected speeds without. */
export function speedLabels(geometry: MapGeometry, factor: number | null): readonly string[] {
  return geometry.speedLines.map(({ correctedSpeedRpm }) => speedLabel(correctedSpeedRpm, factor));
}

/** The layers of the map plot that do not move with the engine, labelled for the day. Flow unit in the map's own reference state. */
export function mapChart(geometry: MapGeometry, day: ChartDay): MapChart {
  const { flowUnit, limit } = day;
  const isVolume = isVolumeFlow(flowUnit);
  const top = geometry.extent;
  return {
    flowAxis: {
      title: titleWithOwner(isVolume ? 'Corrected volume flow' : 'Corrected air flow', 'correctedMassFlowKgPerS', day),
      unit: sheetFlowUnits[flowUnit].label,
      perKgPerS: kgPerSToSheetFlow(1, flowUnit, geometry.reference),
    },
    ratioAxis: { title: 'Pressure ratio, total to total' },
    extent: {
      minFlowKgPerS: 0,
      maxFlowKgPerS: top.maxFlowKgPerS,
      minPressureRatio: 1,
      maxPressureRatio: top.maxPressureRatio,
    },
    speedLines: geometry.speedLines.map(({ entered, line }, index) => ({
      label: day.speedLabels[index] ?? '',
      kind: entered ? 'entered' : 'extended',
      points: line.points,
      isRated: false,
    })),
    speedLabelNote: speedLabelNote(day),
    surgeLine: geometry.surgeLine,
    chokeEnd: geometry.chokeEnd,
    islands: geometry.islands.map((contour) => ({
      contour,
      label: `${percentLabel(contour.efficiency)} %`,
    })),
    islandLabelNote: geometry.islands.length === 0 ? '' : 'Efficiency islands: total to total, %',
    ratedSpeedLine:
      limit === null || limit.pieces.length === 0 ? null : { pieces: limit.pieces, label: limitLabel(day, limit.rpm) },
    sheetPoints: [],
  };
}

/** The limit is a shaft speed; among corrected speeds that has to be said. */
function limitLabel({ labels }: ChartDay, rpm: number): string {
  return `limit ${formatNumber(rpm, 0)} ${labels === 'physical' ? 'rpm' : 'rpm shaft'}`;
}

function percentLabel(share: number): string {
  const percent = share * 100;
  return formatNumber(percent, Math.abs(percent - Math.round(percent)) < 1e-6 ? 0 : 1);
}

/** Shaft speed rounded to the nearest hundred, which is finer than any sheet is read; corrected speed as it stands on the sheet. */
function speedLabel(correctedSpeedRpm: number, factor: number | null): string {
  if (factor === null) return formatNumber(correctedSpeedRpm, 0);
  return formatNumber(Math.round((correctedSpeedRpm * factor) / 100) * 100, 0);
}

function speedLabelNote({ labels, inletTemperature }: ChartDay): string {
  return labels === 'physical'
    ? `Speed lines: shaft speed in rpm at ${inletTemperature} inlet`
    : 'Speed lines: corrected speed in rpm';
}

/** As many engine speeds get a mark and a number; more would crowd the map. */
const MOST_MARKS = 9;

/** Steps between marks that a reader can continue in his head, rpm. */
const MARK_STEPS = [250, 500, 1000, 2000, 5000];

/**
 * The line of one candidate as the map plot draws it. Engine speeds at round steps and both ends are marked.
 * @param input left out: the line does not say which part of it the turbine or a limit holds
 */
export function operatingLine(
  id: string,
  name: string,
  style: CandidateStyle,
  points: readonly OperatingPoint[],
  findings: readonly Finding[],
  input: MatchInput | null = null,
): PlotOperatingLine {
  const parts = input === null ? [] : lineParts(points, input);
  const marked = markedSpeeds(points.map((point) => point.engineSpeedRpm));
  return {
    id,
    name,
    style,
    driven: input?.turbine !== undefined,
    gated: input?.turbine?.gateAreaM2 !== undefined,
    points: points.map((point, index): PlotOperatingPoint | null => {
      const { engineSpeedRpm } = point;
      const isMarked = marked.has(engineSpeedRpm);
      if (point.status !== 'ok') {
        if (point.demand === undefined || point.status === 'no-compression') return null;
        return { ...point.demand, engineSpeedRpm, extended: true, marked: isMarked, severity: 'stop', unmet: true };
      }
      return {
        correctedMassFlowKgPerS: point.correctedMassFlowKgPerS,
        pressureRatio: point.pressureRatio,
        engineSpeedRpm,
        extended: point.extended,
        marked: isMarked,
        part: parts[index] === 'goal' ? undefined : (parts[index] ?? undefined),
        severity: severityAt(engineSpeedRpm, findings),
      };
    }),
  };
}

function severityAt(engineSpeedRpm: number, findings: readonly Finding[]): 'stop' | 'caution' | undefined {
  let severity: 'caution' | undefined;
  for (const finding of findings) {
    if (finding.severity !== 'stop' && finding.severity !== 'caution') continue;
    const range = finding.rangeRpm;
    if (range === undefined || engineSpeedRpm < range[0] || engineSpeedRpm > range[1]) continue;
    if (finding.severity === 'stop') return 'stop';
    severity = 'caution';
  }
  return severity;
}

/** Both ends, and between them the engine speeds nearest to the finest round step that does not crowd the map. */
function markedSpeeds(speeds: readonly number[]): ReadonlySet<number> {
  const first = speeds[0];
  const last = speeds.at(-1);
  if (first === undefined || last === undefined) return new Set();
  const step = MARK_STEPS.find((candidate) => (last - first) / candidate < MOST_MARKS) ?? MARK_STEPS.at(-1)!;
  const marked = [first, last];
  for (let round = Math.ceil(first / step) * step; round < last; round += step) {
    const nearest = speeds.reduce((best, speed) => (Math.abs(speed - round) < Math.abs(best - round) ? speed : best));
    // Steps of their own meet round numbers rarely: a mark beside one, but not two at an end of the line.
    const isApart = marked.every((speed) => speed === nearest || Math.abs(speed - nearest) >= step / 2);
    if (isApart || Math.abs(nearest - round) < 1e-6) marked.push(nearest);
  }
  return new Set(marked);
}

/** For a faint line: no marks, and nothing of demands that the map cannot meet. */
export function withoutMarks(line: PlotOperatingLine): PlotOperatingLine {
  return {
    ...line,
    points: line.points.map((point) =>
      point === null || point.unmet ? null : { ...point, marked: false, severity: undefined, part: undefined },
    ),
  };
}

/** Where an engine speed stands on the map: its operating point, else the demand that could not be met; null where neither is known. */
export function placeOf(points: readonly OperatingPoint[], engineSpeedRpm: number | null): FlowAndRatio | null {
  if (engineSpeedRpm === null) return null;
  const point = points.find((candidate) => candidate.engineSpeedRpm === engineSpeedRpm);
  if (point === undefined) return null;
  const { correctedMassFlowKgPerS, pressureRatio } = point.status === 'ok' ? point : (point.demand ?? NOWHERE);
  return Number.isFinite(correctedMassFlowKgPerS) ? { correctedMassFlowKgPerS, pressureRatio } : null;
}

const NOWHERE = { correctedMassFlowKgPerS: Number.NaN, pressureRatio: Number.NaN };

/**
 * The places that the map marks: the chosen finding's, and those of the findings that stop or caution. Notes are marked only when
 * chosen, or the map would be full of marks.
 */
export function mapPlaces(
  findings: readonly FindingWords[],
  points: readonly OperatingPoint[],
  chosenId: string | null,
): PlotPlace[] {
  return findings.flatMap(({ id, severity, engineSpeedRpm }) => {
    const highlighted = id === chosenId;
    if (!highlighted && severity !== 'stop' && severity !== 'caution') return [];
    const at = placeOf(points, engineSpeedRpm);
    return at === null ? [] : [{ id, at, severity, label: '', highlighted }];
  });
}

/** The engine speed looked at, held within those of the line: outside them nothing is computed that a table or chart could show. */
export function speedWithin(points: readonly OperatingPoint[], engineSpeedRpm: number | null): number | null {
  const [first, last] = [points[0], points.at(-1)];
  if (engineSpeedRpm === null || first === undefined || last === undefined) return engineSpeedRpm;
  return Math.min(Math.max(engineSpeedRpm, first.engineSpeedRpm), last.engineSpeedRpm);
}

const referredMaps = memory<CandidateResults['candidate'], Pick<CandidateResults, 'surface' | 'sheet'>>();

/**
 * The results with map and operating points brought to another reference state, as two maps on equal axes need them: corrected flows
 * and speeds change, everything that a gauge on the car reads does not. The map is brought over once; the points follow every input.
 */
export function referredResults(results: CandidateResults, reference: ReferenceState | null): CandidateResults {
  const { surface, sheet, candidate } = results;
  if (surface === null || sheet === null || reference === null) return results;
  const from = surface.reference;
  if (from.temperatureK === reference.temperatureK && from.pressurePa === reference.pressurePa) return results;
  const factors = referenceFactors(from, reference);
  const map = referredMaps(candidate, [surface, reference.temperatureK, reference.pressurePa], () => ({
    surface: referTo(surface, reference),
    sheet: referredSheet(sheet, reference),
  }));
  return { ...results, ...map, points: results.points.map((point) => referredPoint(point, factors)) };
}

/** One operating point brought over. */
export function referredPoint(point: OperatingPoint, factors: { flow: number; speed: number }): OperatingPoint {
  if (point.status === 'ok') {
    return {
      ...point,
      correctedMassFlowKgPerS: point.correctedMassFlowKgPerS * factors.flow,
      correctedSpeedRpm: point.correctedSpeedRpm * factors.speed,
    };
  }
  if (point.demand === undefined) return point;
  const { correctedMassFlowKgPerS, pressureRatio } = point.demand;
  return { ...point, demand: { correctedMassFlowKgPerS: correctedMassFlowKgPerS * factors.flow, pressureRatio } };
}

type TurbineState = NonNullable<OperatingPointSolved['turbine']>;

const REGION_WORDS: Readonly<Record<OperatingPointSolved['region'], string>> = {
  inside: '',
  'left-of-surge': 'left of the surge line',
  'right-of-choke': 'past the choke end',
  'above-top-line': 'above the top line',
  'below-lowest-line': 'below the lowest line',
  outside: 'outside the map',
};

/** What the reader must know about a place of the map: where it lies, and what is extended or assumed. '' for nothing. */
export function placeRemark(place: {
  region: OperatingPointSolved['region'];
  extended: boolean;
  efficiencyAssumed?: boolean;
  /** The map is another wheel's, scaled. */
  estimated?: boolean | undefined;
  turbine?: Pick<TurbineState, 'heldBy' | 'choked'> | null | undefined;
}): string {
  const words = [REGION_WORDS[place.region]];
  // Outside the entered lines the map is always extended: that need not be said twice.
  if (place.extended && place.region === 'inside') words.push('map extended');
  if (place.efficiencyAssumed) words.push('efficiency assumed');
  // That the gate holds the goal goes without saying.
  if (place.turbine?.heldBy === 'turbine') words.push('turbine-limited');
  if (place.turbine?.heldBy === 'gate') words.push('gate wide open, boost creeps');
  if (place.turbine?.choked) words.push('turbine choked');
  if (place.estimated) words.push('map estimated');
  return joined(words);
}
