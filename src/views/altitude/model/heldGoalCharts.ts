import { type Build, mapGeometry, speedLineAt } from '../../../build/index.ts';
import type { CompressorSurface, MapSheet } from '../../../compressor/index.ts';
import {
  type BoostThreshold,
  boostThreshold,
  decimalsShown,
  fullTitle,
  type HeldCell,
  type HeldGoal,
  limitOn,
  type OperatingPoint,
  type OperatingPointSolved,
  type PLACES,
  RESULTS,
  type ResultUnits,
  readResult,
  resultsAt,
  unitLabel,
  valueShown,
} from '../../../match/index.ts';
import {
  candidateStyle,
  type LineChartModel,
  type LineLimit,
  type LineSeries,
  type PlotOperatingLine,
  type StandingLines,
} from '../../../plot/index.ts';
import type { CandidateStudy } from '../../../store/index.ts';
import { formatNumber, rpmText, type SheetFlowUnit } from '../../../units/index.ts';
import { altitudeText, altitudeUnit, altitudeValue } from '../../shared/altitudeStudies.ts';
import { candidateLetter } from '../../shared/display.ts';
import { mapChart, operatingLine, speedLabels, withoutMarks } from '../../shared/mapDrawing.ts';
import { isDriven, isTurbineLimited, nearestPlace } from './pointed.ts';

type Solved = Extract<HeldGoal['cells'][number][number]['point'], { status: 'ok' }>;

/** One value over the altitudes at an engine speed. */
export function overAltitude(build: Build, held: HeldGoal, rpm: number, read: (point: Solved) => number) {
  const column = held.engineSpeedsRpm.indexOf(rpm);
  const unit = altitudeUnit(build);
  return held.places.map((place, row) => {
    const point = held.cells[row]?.[column]?.point;
    if (point?.status !== 'ok' || place.altitudeM === null) return null;
    return { x: altitudeValue(place.altitudeM, unit), value: read(point) };
  });
}

export function altitudeAxis(build: Build, places: HeldGoal['places']): LineChartModel['xAxis'] {
  const unit = altitudeUnit(build);
  const altitudes = places.flatMap(({ altitudeM }) => (altitudeM === null ? [] : [altitudeValue(altitudeM, unit)]));
  return { title: 'Altitude', unit, decimals: 0, min: Math.min(...altitudes), max: Math.max(...altitudes) };
}

/** The maker's limit, and the same less the reserve, which is what counts. */
export function shaftLimits({ held }: Pick<CandidateStudy, 'held'>, letter: string): LineLimit[] {
  const { shaftSpeedRpm, shaftSpeedReserve = 0 } = held.limits;
  if (shaftSpeedRpm === undefined) return [];
  const kept = shaftSpeedRpm * (1 - shaftSpeedReserve);
  const limit: LineLimit = {
    label: `${letter} limit ${formatNumber(shaftSpeedRpm, 0)}`,
    value: shaftSpeedRpm,
    severity: 'stop',
  };
  if (shaftSpeedReserve === 0) return [limit];
  const reserve = formatNumber(
    shaftSpeedReserve * 100,
    shaftSpeedReserve * 100 === Math.round(shaftSpeedReserve * 100) ? 0 : 1,
  );
  return [limit, { label: `${letter} less ${reserve} % reserve`, value: kept, severity: 'caution' }];
}

/** What can be shown over altitude while a goal is held. */
export type HeldQuantity = (typeof PLACES.overAltitude)[number];

/** What there is to choose from: the turbine's only where one is known. */
export function heldQuantities(
  hasTurbine: boolean,
  units: Pick<ResultUnits, 'several'>,
): { key: HeldQuantity; name: string }[] {
  return resultsAt('overAltitude', { turbine: hasTurbine }).map((key) => ({ key, name: fullTitle(key, units) }));
}

/** One quantity over altitude with the goal held, for each candidate at the chosen engine speeds, against its limits. */
export function heldOverAltitude(
  build: Build,
  candidates: readonly (CandidateStudy | null)[],
  engineSpeedsRpm: readonly number[],
  quantity: HeldQuantity,
  units: ResultUnits,
): StandingLines {
  const { shown } = RESULTS[quantity];
  const title = fullTitle(quantity, units);
  const inUnit = (si: number) => valueShown(si, shown, units);
  const value = (point: OperatingPointSolved) => inUnit(readResult(quantity, point) ?? Number.NaN);
  const seriesOf = (study: CandidateStudy, index: number) =>
    engineSpeedsRpm.map((rpm, i): LineSeries => {
      const letter = candidateLetter(index);
      return {
        id: heldSeriesId(index, rpm),
        name: `${letter} ${formatNumber(rpm, 0)}`,
        style: candidateStyle(index),
        weight: 'main',
        shade: engineSpeedsRpm.length < 2 ? 1 : 0.35 + (0.65 * i) / (engineSpeedsRpm.length - 1),
        points: overAltitude(build, study.held, rpm, value),
      };
    });
  return {
    xAxis: altitudeAxis(build, candidates.find((study) => study !== null)?.held.places ?? []),
    valueAxis: {
      title,
      unit: unitLabel(shown, units),
      decimals: decimalsShown(shown, units),
      ...(shown === 'share' && { bounds: { low: 0, high: 100 } }),
    },
    series: candidates.flatMap((study, index) => (study === null ? [] : seriesOf(study, index))),
    limits: limitsOf(candidates, quantity, inUnit),
    names: 'end',
  };
}

/** A candidate's line at an engine speed, and that speed again: null for another line. */
const heldSeriesId = (index: number, rpm: number) => `${candidateLetter(index)}-${rpm}`;

export function rpmOfSeries(id: string, speeds: readonly number[], candidates: number): number | null {
  const indices = Array.from({ length: candidates }, (_, index) => index);
  return speeds.find((rpm) => indices.some((index) => heldSeriesId(index, rpm) === id)) ?? null;
}

/** Shaft speeds have a limit each; the other limits are those of the build, one line for all. */
function limitsOf(
  candidates: readonly (CandidateStudy | null)[],
  quantity: HeldQuantity,
  inUnit: (si: number) => number,
): LineLimit[] {
  if (quantity === 'shaftSpeedRpm') {
    return candidates.flatMap((study, index) => (study === null ? [] : shaftLimits(study, candidateLetter(index))));
  }
  const limits = candidates.find((study) => study !== null)?.held.limits;
  const limit = limitOn(quantity);
  const asked = limits && limit?.asked(limits);
  if (asked === undefined) return [];
  const words = limit?.bounds?.side === 'least' ? 'least' : 'limit';
  return [{ label: `${words} ${limitText(inUnit(asked))}`, value: inUnit(asked), severity: 'stop' }];
}

/** As it was entered: no more decimals than it needs. */
function limitText(value: number): string {
  const decimals = [0, 1].find((places) => Math.abs(value - Number(value.toFixed(places))) < 1e-6) ?? 2;
  return formatNumber(value, decimals);
}

/** Engine speeds are said to this, rpm: the threshold lies somewhere in the step between two of them. */
const ROUNDED_TO = 50;

type Threshold = BoostThreshold | null;

/** Boost threshold of the goal at each altitude; null where no turbine is known. */
function thresholds({ held }: CandidateStudy): Threshold[] {
  return held.cells.map((row) => boostThreshold(row.map(({ point }) => point)));
}

/** From which engine speed the exhaust drives the goal, over altitude, for each candidate; no line where it is under or over all of them. */
export function thresholdOverAltitude(build: Build, candidates: readonly (CandidateStudy | null)[]): StandingLines {
  const unit = altitudeUnit(build);
  const seriesOf = (study: CandidateStudy, index: number): LineSeries => {
    const all = thresholds(study);
    return {
      id: candidateLetter(index),
      name: candidateLetter(index),
      style: candidateStyle(index),
      weight: 'main',
      points: study.held.places.map(({ altitudeM }, row) => {
        const threshold = all[row];
        if (threshold?.status !== 'found' || altitudeM === null) return null;
        return { x: altitudeValue(altitudeM, unit), value: threshold.engineSpeedRpm };
      }),
    };
  };
  return {
    xAxis: altitudeAxis(build, candidates.find((study) => study !== null)?.held.places ?? []),
    valueAxis: { title: 'Boost threshold, engine speed', unit: 'rpm', decimals: 0 },
    series: candidates.flatMap((study, index) => (study === null ? [] : [seriesOf(study, index)])),
    names: 'end',
  };
}

/** 'Boost threshold of this goal: 2,700 rpm at 0 m, 2,850 rpm at 3,000 m.' null where no turbine is known. */
export function thresholdWords(build: Build, study: CandidateStudy): string | null {
  const unit = altitudeUnit(build);
  const all = thresholds(study);
  const low = all[0];
  const high = all.at(-1);
  if (!low || !high) return null;
  const at = (row: number) => altitudeText(study.held.places.at(row)?.altitudeM ?? null, unit);
  const [here, there] = [speedText(low), speedText(high)];
  const words = here === there ? `${here}, from ${at(0)} to ${at(-1)}` : `${here} at ${at(0)}, ${there} at ${at(-1)}`;
  return `Boost threshold of this goal: ${words}.`;
}

function speedText(threshold: BoostThreshold): string {
  const { status, engineSpeedRpm } = threshold;
  if (status === 'found') return `about ${rpmText(Math.round(engineSpeedRpm / ROUNDED_TO) * ROUNDED_TO)}`;
  return status === 'below' ? `at or below ${rpmText(engineSpeedRpm)}` : `not reached up to ${rpmText(engineSpeedRpm)}`;
}

/** Of N / Nc: steps far below what a drawing or a reader could tell, in which points of one place never differ by their last bits. */
const FACTOR_STEPS = 1e10;

/** N / Nc at a place of the study: one number there, any solved point has it; null where no point is solved. */
export function speedFactorAt(study: CandidateStudy, row: number): number | null {
  const solved = study.field.cells[row]?.find((cell) => cell.status === 'ok');
  if (solved?.status !== 'ok') return null;
  return Math.round((FACTOR_STEPS * solved.point.shaftSpeedRpm) / solved.point.correctedSpeedRpm) / FACTOR_STEPS;
}

/**
 * The map itself, labelled in corrected speeds: a shaft speed would be another one at every altitude.
 * @param limit of the shaft, and N / Nc where it is drawn; null: no line of it
 */
export function altitudeMapChart(
  surface: CompressorSurface,
  sheet: MapSheet,
  limit: { shaftSpeedRpm: number; factor: number } | null,
  shown: { flowUnit: SheetFlowUnit; several: true | undefined },
) {
  const geometry = mapGeometry(surface, sheet);
  return mapChart(geometry, {
    ...shown,
    labels: 'corrected',
    speedLabels: speedLabels(geometry, null),
    inletTemperature: '',
    limit: limit && {
      rpm: limit.shaftSpeedRpm,
      pieces: speedLineAt(surface, limit.shaftSpeedRpm / limit.factor),
    },
  });
}

/** The goal held at the altitude pointed at, and faintly at others. */
export function altitudeMapLines(
  build: Build,
  study: CandidateStudy,
  index: number,
  altitudeM: number,
): PlotOperatingLine[] {
  const { held } = study;
  const unit = altitudeUnit(build);
  const row = nearestPlace(held.places, altitudeM);
  const style = candidateStyle(index);
  const points = (at: number): OperatingPoint[] => (held.cells[at] ?? []).map(({ point }) => point);
  const name = `${candidateLetter(index)}, goal held at ${altitudeText(held.places[row]?.altitudeM ?? null, unit)}`;
  const main = operatingLine('main', name, style, points(row), []);
  const cells = held.cells[row] ?? [];
  const hasTurbine = isDriven(study);
  const marked: PlotOperatingLine = {
    ...main,
    driven: hasTurbine,
    gated: held.cells.some((row) => row.some(creeps)),
    points: main.points.map((point, i) => {
      const cell = cells[i];
      if (point === null || cell === undefined) return point;
      return {
        ...point,
        ...(isOver(cell) && { severity: 'stop' as const }),
        ...(hasTurbine && { part: partOf(cell) }),
      };
    }),
  };
  const others = faintRows(held.places.length, row).map(
    (at): PlotOperatingLine => ({
      ...operatingLine(`altitude-${at}`, '', style, points(at), []),
      name: altitudeText(held.places[at]?.altitudeM ?? null, unit),
      faint: true,
    }),
  );
  return [...others.map(withoutMarks), marked];
}

/** A limit is crossed; that the goal is not reached, or exceeded by creep, is no limit, and the line is drawn so there. */
function isOver(cell: HeldCell): boolean {
  const { point, crossed } = cell;
  if (crossed === null || crossed === 'no-compression') return false;
  return !(crossed === 'turbine' && isTurbineLimited(point)) && !(crossed === 'gate' && creeps(cell));
}

function creeps({ point }: HeldCell): boolean {
  return point.status === 'ok' && point.turbine?.heldBy === 'gate';
}

/** The part of the line that a point belongs to, as on the map of the Match view. */
function partOf(cell: HeldCell): NonNullable<PlotOperatingLine['points'][number]>['part'] {
  if (cell.point.status === 'ok' && cell.point.turbine?.heldBy === 'turbine') return 'turbine';
  if (creeps(cell)) return 'creep';
  return isOver(cell) ? 'ceiling' : undefined;
}

/** The lowest, the middle and the highest, but for the one pointed at. */
function faintRows(count: number, row: number): number[] {
  return [...new Set([0, Math.floor((count - 1) / 2), count - 1])].filter((at) => at >= 0 && at !== row);
}
