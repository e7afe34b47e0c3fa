import type { Build, MapDraft } from '../../../../build/index.ts';
import type { ReferenceState } from '../../../../compressor/index.ts';
import {
  decimalsShown,
  fileHeading,
  type OperatingPoint,
  type OperatingPointSolved,
  PLACES,
  RESULTS,
  type ResultKey,
  type ResultUnits,
  readResult,
  shortTitle,
  showPoint,
  unitLabel,
  valueShown,
} from '../../../../match/index.ts';
import type { CandidateStyle, PlotOperatingLine } from '../../../../plot/index.ts';
import type { CandidateResults } from '../../../../store/index.ts';
import { formatNumber, joined, NO_BREAK_SPACE, NO_NUMBER } from '../../../../units/index.ts';
import { formatClipboardTable } from '../../../../widgets/index.ts';
import { CAUTIONS, isEstimated } from '../../../shared/display.ts';
import { inventedMark } from '../../../shared/fileNotes.ts';

/** One candidate as the charts of the turbine show it. */
export interface TurbineSide {
  index: number;
  /** 'A' */
  letter: string;
  style: CandidateStyle;
  results: CandidateResults;
  /** Its line on the map: which engine speeds are marked there, and how, is the same here. null: it has none. */
  line: PlotOperatingLine | null;
}

/** What both charts of the turbine are given: the sides, and the engine speed that all charts point at. */
export interface TurbinePanelProps {
  sides: readonly TurbineSide[];
  engineSpeedRpm: number | null;
  onHoverSpeed: (engineSpeedRpm: number | null) => void;
  onChooseSpeed: (engineSpeedRpm: number) => void;
}

/** A point of which the turbine is known. */
export type DrivenPoint = OperatingPointSolved & {
  turbine: NonNullable<OperatingPointSolved['turbine']>;
  turbineInletPressurePa: number;
  backPressureRatio: number;
  expansionRatio: number;
  wastegateShare: number;
};

/** The points of a side, null where an engine speed has none or its turbine is not known. */
export function drivenPoints({ points }: Pick<CandidateResults, 'points'>): readonly (DrivenPoint | null)[] {
  return points.map((point) => (point.status === 'ok' && isDriven(point) ? point : null));
}

export function isDriven(point: OperatingPointSolved): point is DrivenPoint {
  return point.turbine !== null && point.expansionRatio !== null && point.wastegateShare !== null;
}

/** What an estimate, or a sheet that needs none, is corrected to: the standard atmosphere at sea level. */
export const STANDARD_REFERENCE: ReferenceState = { temperatureK: 288.15, pressurePa: 101_325 };

/** Cells of the read-out, always the same in the same order, so that nothing jumps. */
export function turbineCells(units: ResultUnits): readonly { key: TurbineCell; title: string }[] {
  const cells = PLACES.turbineReadOut.map((key) => ({ key, title: shortTitle(key, units) }));
  return [...cells, { key: 'held', title: 'Boost held by' }];
}

type TurbineCell = (typeof PLACES.turbineReadOut)[number] | 'held';

/** What the turbine does at one engine speed, in the user's units. '–' where it is not known. */
export function turbineReadings(
  point: OperatingPoint | null,
  units: ResultUnits,
): Readonly<Record<TurbineCell, string>> {
  const driven = point !== null && point.status === 'ok' && isDriven(point) ? point : null;
  const cells = PLACES.turbineReadOut.map((key) => [key, showPoint(key, driven, units)]);
  return {
    ...(Object.fromEntries(cells) as Record<(typeof PLACES.turbineReadOut)[number], string>),
    ...(driven !== null && driven.wastegateShare <= 0 && { wastegateShare: 'shut' }),
    held:
      driven === null
        ? point !== null && point.status !== 'ok'
          ? point.message
          : NO_NUMBER
        : heldWords(driven.turbine),
  };
}

function heldWords({ heldBy, reachedShare, choked }: DrivenPoint['turbine']) {
  const chokedWords = choked ? ', turbine choked' : '';
  if (heldBy === 'goal') return `the gate, at the goal${chokedWords}`;
  if (heldBy === 'gate')
    return `nothing: gate wide open, at ${formatNumber(Math.ceil(reachedShare * 1000) / 10, 1)}${NO_BREAK_SPACE}% of the goal${chokedWords}`;
  return `the turbine, at ${formatNumber(Math.floor(reachedShare * 1000) / 10, 1)}${NO_BREAK_SPACE}% of the goal${chokedWords}`;
}

/** The numbers of the charts for a spreadsheet, tab-separated, units in the headings; empty where an engine speed has no point. */
export function turbineTableText(sides: readonly TurbineSide[], units: ResultUnits): string {
  const heading = PLACES.turbineCopy.map(
    (key) => `${fileHeading(key, units)} [${unitLabel(RESULTS[key].shown, units) || '-'}]`,
  );
  // For computing on: one decimal more than is read.
  const cell = (key: ResultKey, point: DrivenPoint) => {
    const { shown } = RESULTS[key];
    const value = valueShown(readResult(key, point) ?? Number.NaN, shown, units);
    return Number.isFinite(value) ? value.toFixed(decimalsShown(shown, units) + 1) : '';
  };
  const rows = sides.flatMap((side) =>
    drivenPoints(side.results).map((point, i) => [
      side.letter,
      String(side.results.points[i]?.engineSpeedRpm ?? ''),
      ...PLACES.turbineCopy.map((key) => (point === null ? '' : cell(key, point))),
      point?.turbine.heldBy ?? '',
    ]),
  );
  return `${formatClipboardTable([['Candidate', 'Engine speed [rpm]', ...heading, 'Held by'], ...rows])}\n`;
}

/** The words on a chart of the turbine that leaves the program as a file: what it is, what it rests on, and the cautions. */
export function turbineSheetWords(
  sides: readonly Pick<TurbineSide, 'results'>[],
  build: Build,
  what: string,
  today: string,
): { title: string; description: string; provenance: string; caution: string } {
  const candidates = sides.map(({ results }) => results.candidate);
  const maps = candidates.flatMap(({ map, donor, turbine, turbineSheet }) => [
    ...(map === null && donor === null ? [] : [map ?? donor!]),
    ...(turbine.source === 'sheet' && turbineSheet !== null ? [turbineSheet] : []),
  ]);
  const mark = inventedMark(maps, 'maps', build);
  const estimates = candidates.flatMap((candidate) => [
    ...(candidate.turbine.source === 'measured'
      ? [`The turbine of ${candidate.name} is estimated from wheel and housing.`]
      : []),
    ...(isEstimated(candidate) ? [`The compressor map of ${candidate.name} is an estimate, scaled.`] : []),
  ]);
  const sources = candidates.flatMap(({ turbine, turbineSheet }) =>
    turbine.source === 'sheet' && turbineSheet !== null ? sourceOf(turbineSheet) : [],
  );
  return {
    title: `${build.name}: ${what} of ${candidates.map(({ name }) => name).join(' and ')}`,
    description: `${what} of ${candidates.map(({ name }) => name).join(' and ')} on ${build.name}, at full load.`,
    provenance: `${mark}${[...estimates, `Lugline, ${today}.`, ...sources].join(' ')}`,
    caution: CAUTIONS,
  };
}

function sourceOf({ name, source }: MapDraft): string[] {
  const words = joined([name.trim(), source.trim()]);
  return words === '' ? [] : [`Turbine: ${words}.`.replace('..', '.')];
}
