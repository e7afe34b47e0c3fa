import type { Build, DayAirReading, FiledSheet, FitmentItem, Settings } from '../../../build/index.ts';
import { type ResultUnits, resultUnits } from '../../../match/index.ts';
import type { AltitudeStudy, CandidateFigures, CandidateResults, ComparisonResults } from '../../../store/index.ts';
import { type HeadlineNumber, headline } from '../../shared/candidateSummary.ts';
import { type DifferenceRow, differenceRows } from '../../shared/comparison.ts';
import { type FindingWords, findingWords } from '../../shared/findingWords.ts';
import { candidateLetter, isEstimated } from '../../shared/provenance.ts';
import { type CalibrationSheet, calibrationSheet } from './calibrationSheet.ts';
import type { Density } from './density.ts';
import { type FactGroup, inputFacts } from './inputFacts.ts';
import { type MapSource, mapSources } from './mapSources.ts';
import { type MarginRow, marginRows } from './marginRows.ts';
import { PAPERS, type Paper } from './paper.ts';
import { type PrintedPoints, printedPoints } from './pointTable.ts';
import { type PrintedMap, printedMaps } from './printedMap.ts';
import { type SheetHead, sheetHead } from './sheetHead.ts';
import { type SheetRemark, sheetRemarks } from './sheetRemarks.ts';
import { type TurbineBlock, turbineBlocks } from './turbineSheet.ts';
import { housingWords, type WheelSheet, wheelSheet } from './wheelSheet.ts';

/** One candidate of the sheet with all that is known of it. */
export interface SheetCandidate {
  index: number;
  results: CandidateResults;
  figures: CandidateFigures | null;
}

/** What the sheet is made of; everything of one state of the build. */
export interface SheetInput {
  build: Build;
  settings: Settings;
  day: DayAirReading;
  /** Those that are printed: one or two. */
  candidates: readonly SheetCandidate[];
  /** null with one candidate. */
  comparison: ComparisonResults | null;
  study: { result: AltitudeStudy | null; isCurrent: boolean; problem: string | null };
  /** Of the whole build, as it would be filed now. */
  record: FiledSheet;
}

/** A candidate's heading, its headline numbers, what must be known about it. */
export interface CandidateBlock {
  letter: string;
  name: string;
  isEstimated: boolean;
  numbers: readonly HeadlineNumber[];
  findings: readonly FindingWords[];
  /** Why there is no line; none where there is one. */
  problems: readonly string[];
  /** Housing, bearing, gate and the card's notes. */
  card: string;
}

/** Everything that stands on the match sheet, in words and figures: preview and paper draw the same one. */
export interface SheetModel {
  paper: Paper;
  head: SheetHead;
  facts: readonly FactGroup[];
  maps: readonly PrintedMap[];
  candidates: readonly CandidateBlock[];
  margins: readonly MarginRow[];
  points: readonly PrintedPoints[];
  calibration: CalibrationSheet;
  wheels: WheelSheet;
  /** None where no candidate has a turbine. */
  turbines: readonly TurbineBlock[];
  fitment: readonly FitmentItem[];
  remarks: readonly SheetRemark[];
  sources: readonly MapSource[];
  /** The shop's own words. */
  notes: string;
}

type FixedParts = Omit<SheetModel, 'points' | 'calibration'>;

const known = new WeakMap<SheetInput, FixedParts>();

/** What does not depend on the density: the same objects at every density, so that the maps are not drawn again. */
function fixedParts(input: SheetInput): FixedParts {
  const found = known.get(input);
  if (found !== undefined) return found;
  const { build, settings, day, candidates, comparison, record } = input;
  const units = resultUnits(settings);
  const made: FixedParts = {
    paper: PAPERS[build.sheet.paper],
    head: sheetHead(build, record),
    facts: inputFacts(build, day),
    maps: printedMaps(candidates, day, settings),
    candidates: candidates.map((candidate) => candidateBlock(candidate, units)),
    margins: marginRows(
      build,
      candidates.map(({ results }) => results),
      differencesOf(comparison, build, units),
      units,
    ),
    wheels: wheelSheet(
      candidates.map(({ index, results, figures }) => ({ index, candidate: results.candidate, figures })),
    ),
    turbines: turbineBlocks(candidates, units),
    fitment: build.fitment,
    remarks: sheetRemarks(
      candidates.map(({ index, figures }) => ({ index, assumptions: figures?.assumptions ?? [] })),
      units,
    ),
    sources: mapSources(candidates),
    notes: build.sheet.remarks.trim(),
  };
  known.set(input, made);
  return made;
}

export function sheetModel(input: SheetInput, density: Density): SheetModel {
  const { build, settings, candidates, study } = input;
  const units = resultUnits(settings);
  const fixed = fixedParts(input);
  return {
    ...fixed,
    ...(density.withoutAreas ? { wheels: withoutAreas(fixed.wheels) } : {}),
    points: candidates
      .filter(({ results }) => results.points.length > 0)
      .map(({ index, results }) => printedPoints(build, results, index, units, density.pointRows)),
    calibration: calibrationSheet({
      ...study,
      indices: candidates.map(({ index }) => index),
      units,
      mostRows: density.calibrationRows,
    }),
  };
}

function withoutAreas(wheels: WheelSheet): WheelSheet {
  return { ...wheels, rows: wheels.rows.filter(({ title }) => !/area|passage/i.test(title)) };
}

/** Notes that the list of assumptions or the turbine block says as well, and peaks that the headline numbers show. */
const SAID_ELSEWHERE =
  /^(curve-held|map-estimated|map-extended|efficiency-assumed|fuel-supply-not-checked|peak-|boost-threshold|wastegate-flow-fraction|no-turbine|turbine-temperature-estimated)/;

function candidateBlock({ index, results }: SheetCandidate, units: ResultUnits): CandidateBlock {
  const { candidate, points, findings, problems } = results;
  const card = [housingWords(candidate), candidate.notes.trim()].filter((text) => text !== '').join('. ');
  return {
    letter: candidateLetter(index),
    name: candidate.name.trim() === '' ? 'without a name' : candidate.name.trim(),
    isEstimated: isEstimated(candidate),
    numbers: headline(points, units),
    findings: findingWords(
      findings.filter(({ severity, code }) => severity !== 'note' || !SAID_ELSEWHERE.test(code)),
      units,
    ),
    problems: problems.map(({ message }) => message),
    card,
  };
}

function differencesOf(
  comparison: ComparisonResults | null,
  build: Build,
  results: ResultUnits,
): readonly DifferenceRow[] | null {
  if (comparison?.comparison == null) return null;
  return differenceRows(comparison.comparison, { results, altitude: build.air.altitude.unit });
}
