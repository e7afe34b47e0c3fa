import type { Assumption, Build, DayAirReading, FiledSheet, FitmentItem } from '../../../build/index.ts';
import { type FindingCode, type ResultUnits, resultUnits } from '../../../match/index.ts';
import { memory } from '../../../numerics/index.ts';
import {
  type AltitudeStudy,
  type CandidateFigures,
  type CandidateResults,
  type ComparisonResults,
  type LogStudy,
  type ShownSettings,
  spoolOf,
  type TableStudy,
} from '../../../store/index.ts';
import { joined } from '../../../units/index.ts';
import { assumptionWords } from '../../shared/assumptions.ts';
import { type HeadlineNumber, headline } from '../../shared/candidateSummary.ts';
import { type DifferenceRow, differenceRows } from '../../shared/comparison.ts';
import { CAUTIONS, candidateLetter, isEstimated } from '../../shared/display.ts';
import { type FindingWords, findingWords } from '../../shared/findingSentences.ts';
import { spoolWords } from '../../shared/spoolUp.ts';
import { type FactGroup, inputFacts } from './inputFacts.ts';
import { type MarginRow, marginRows } from './marginRows.ts';
import { type Density, PAPERS, type Paper } from './paper.ts';
import { type MapSource, mapSources, type PrintedMap, printedMaps } from './printedMap.ts';
import {
  type CalibrationSheet,
  type ControlPage,
  calibrationSheet,
  controlPages,
  type PrintedPoints,
  printedPoints,
} from './printedTables.ts';
import { measuredWords } from './roadLog.ts';
import { housingWords, type TurbineBlock, turbineBlocks, type WheelSheet, wheelSheet } from './turboSheet.ts';

/** One candidate of the sheet with all that is known of it. */
interface SheetCandidate {
  index: number;
  results: CandidateResults;
  figures: CandidateFigures | null;
}

/** What the sheet is made of; everything of one state of the build. */
export interface SheetInput {
  build: Build;
  settings: ShownSettings;
  day: DayAirReading;
  /** Those that are printed: one or two. */
  candidates: readonly SheetCandidate[];
  /** null with one candidate. */
  comparison: ComparisonResults | null;
  study: { result: AltitudeStudy | null; isCurrent: boolean; problem: string | null };
  /** What the road log that was read last says; left out: none was. */
  log?: LogStudy | null;
  /** The table for the control unit; left out: none is asked for. */
  table?: { study: TableStudy | null; problem: string | null };
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
  /** 'And 5 more, with all numbers in the build file.'; '' where all stand here. */
  more: string;
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
  /** How two candidates spool up, an estimate: sentences; none where the rotor of one is not known. */
  spool: readonly string[];
  /** What was measured on the road, in sentences; none without a log. */
  measured: readonly string[];
  /** Each on a page of its own. */
  controlPages: readonly ControlPage[];
  fitment: readonly FitmentItem[];
  remarks: readonly SheetRemark[];
  sources: readonly MapSource[];
  /** The shop's own words. */
  notes: string;
}

type FixedParts = Omit<SheetModel, 'points' | 'calibration'>;

const fixed = memory<SheetInput, FixedParts>();

/** What does not depend on the density: the same objects at every density, so that the maps are not drawn again. */
function partsOf(input: SheetInput): FixedParts {
  const { build, settings, day, candidates, comparison, record } = input;
  const units = resultUnits(settings);
  return {
    paper: PAPERS[build.sheet.paper],
    head: sheetHead(build, record),
    facts: inputFacts(
      build,
      day,
      units,
      candidates.flatMap(({ results }) => results.findings),
    ),
    maps: printedMaps(candidates, day, settings),
    candidates: candidates.map((candidate) => candidateBlock(candidate, units)),
    margins: marginRows(
      candidates.map(({ results }) => results),
      differencesOf(comparison, build, units),
      units,
    ),
    wheels: wheelSheet(
      candidates.map(({ index, results, figures }) => ({ index, candidate: results.candidate, figures })),
      units,
    ),
    turbines: turbineBlocks(candidates, units),
    spool: spoolSentences(input, units),
    measured: measuredWords(input, units),
    controlPages: controlPages(input),
    fitment: build.fitment,
    remarks: sheetRemarks(
      candidates.map(({ index, figures }) => ({ index, assumptions: figures?.assumptions ?? [] })),
      units,
    ),
    sources: mapSources(candidates, units),
    notes: build.sheet.remarks.trim(),
  };
}

export function sheetModel(input: SheetInput, density: Density): SheetModel {
  const { build, settings, candidates, study } = input;
  const units = resultUnits(settings);
  const parts = fixed(input, [], () => partsOf(input));
  return {
    ...parts,
    ...(density.withoutAreas ? { wheels: withoutAreas(parts.wheels) } : {}),
    ...(density.findings === undefined
      ? {}
      : { candidates: parts.candidates.map((block) => withWorst(block, density.findings ?? 0)) }),
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

/** The worst of what is said of a candidate; no stop is left out, and what is left out is counted. */
function withWorst(block: CandidateBlock, most: number): CandidateBlock {
  const stops = block.findings.filter(({ severity }) => severity === 'stop').length;
  const findings = block.findings.slice(0, Math.max(most, stops));
  const left = block.findings.slice(findings.length);
  if (left.length < 2) return block;
  const cautions = left.filter(({ severity }) => severity === 'caution').length;
  const counted = cautions === 0 ? 'notes' : cautions === left.length ? 'cautions' : 'cautions and notes';
  return { ...block, findings, more: `${left.length} more ${counted}: see the Match view, or the build file.` };
}

function spoolSentences({ build, candidates }: SheetInput, units: ResultUnits): readonly string[] {
  const [a, b] = candidates;
  if (a === undefined || b === undefined) return [];
  if ([a, b].some(({ results }) => results.candidate.rotor.from === 'none')) return [];
  const reading = ({ index, results }: SheetCandidate) => spoolOf(build, index, results);
  const words = spoolWords([a.index, b.index], [reading(a), reading(b)], units);
  return [words.headline, ...words.lines, words.note];
}

function withoutAreas(wheels: WheelSheet): WheelSheet {
  return { ...wheels, rows: wheels.rows.filter(({ kind }) => kind !== 'area') };
}

/** Notes that the list of assumptions or the turbine block says as well, and peaks that the headline numbers show. */
const IN_FIT_NOTES: ReadonlySet<string> = new Set<FindingCode>([
  'curve-held-volumetric-efficiency',
  'curve-held-lambda',
  'curve-held-bsfc',
  'curve-held-goal',
  'curve-held-turbine-temperature',
  'map-estimated',
  'map-extended',
  'map-extended-above',
  'map-extended-below',
  'efficiency-assumed',
  'fuel-supply-not-checked',
  'fuel-needed',
  'peak-power',
  'peak-torque',
  'peak-shaft-speed',
  'peak-back-pressure',
  'boost-threshold',
  'wastegate-flow-fraction',
  'gate-area',
  'no-turbine',
  'turbine-temperature-estimated',
]);

function candidateBlock({ index, results }: SheetCandidate, units: ResultUnits): CandidateBlock {
  const { candidate, points, findings, problems } = results;
  const card = joined([housingWords(candidate), candidate.notes.trim()], '. ');
  return {
    letter: candidateLetter(index),
    name: candidate.name.trim() === '' ? 'without a name' : candidate.name.trim(),
    isEstimated: isEstimated(candidate),
    numbers: headline(points, units),
    findings: findingWords(
      // What lies below the lowest line stands among the extensions, with what that leaves open.
      findings.filter(
        ({ severity, code }) => code !== 'edge-guessed' && (severity !== 'note' || !IN_FIT_NOTES.has(code)),
      ),
      units,
      candidate.turboCount,
    ),
    more: '',
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
  const rows = differenceRows(comparison.comparison, { results, altitude: build.air.altitude.unit });
  // Paper has the torque over engine speed already: its difference stands there only beside a limit that is asked of it.
  const isAsked = build.limits.torque.text.trim() !== '';
  return rows.filter(({ key }) => key !== 'peak-torque' || isAsked);
}

/** What the head of the sheet says about itself. Empty texts are lines to write on. */
export interface SheetHead {
  shopName: string;
  car: string;
  customerReference: string;
  date: string;
  preparedBy: string;
  build: string;
  program: string;
  /** First eight signs of the hash of all that was entered: two sheets with the same are of the same inputs. */
  inputs: string;
  isInvented: boolean;
}

function sheetHead(build: Build, record: FiledSheet): SheetHead {
  const { shopName, car, customerReference, dateText, preparedBy } = build.sheet;
  return {
    shopName: shopName.trim(),
    car: car.trim(),
    customerReference: customerReference.trim(),
    date: dateText.trim(),
    preparedBy: preparedBy.trim(),
    build: build.name,
    program: record.programVersion,
    inputs: `${record.inputs.slice(0, 4)}-${record.inputs.slice(4, 8)}`.toUpperCase(),
    isInvented: build.invented === true,
  };
}

/** One assumption, estimate or extension, said once for all candidates that it concerns. */
export interface SheetRemark {
  kind: Assumption['kind'];
  /** 'A', 'B', 'A, B'; '' where it concerns every candidate of the sheet. */
  letters: string;
  words: string;
}

const RANK: Readonly<Record<Assumption['kind'], number>> = { estimate: 0, extension: 1, assumption: 2 };

/** Everything that the numbers rest on and nobody measured: estimates first, then extensions, then assumptions. */
export function sheetRemarks(
  candidates: readonly { index: number; assumptions: readonly Assumption[] }[],
  units: ResultUnits,
): SheetRemark[] {
  const found = new Map<string, { kind: Assumption['kind']; words: string; indices: number[] }>();
  for (const { index, assumptions } of candidates) {
    for (const assumption of assumptions) {
      const words = assumptionWords(assumption, units);
      const known = found.get(words);
      if (known === undefined) found.set(words, { kind: assumption.kind, words, indices: [index] });
      else known.indices.push(index);
    }
  }
  return [...found.values()]
    .map(({ kind, words, indices }) => ({
      kind,
      words,
      letters: indices.length === candidates.length ? '' : indices.map(candidateLetter).join(', '),
    }))
    .map((remark, place) => ({ remark, place }))
    .sort((a, b) => RANK[a.remark.kind] - RANK[b.remark.kind] || a.place - b.place)
    .map(({ remark }) => remark);
}

/** The cautions of the sheet: those that go with every number, and what somebody who works from paper must know. */
export const SHEET_CAUTIONS: readonly string[] = [
  CAUTIONS,
  'Approach every figure from below, on a dynamometer, with shaft speed, exhaust temperature, knock and lambda watched, guards in place and the exhaust drawn off: it poisons, and the turbine glows. ' +
    'What the compressor allows is not what the engine, its fuel supply or its ignition allow.',
  'Limits, torques and clearances are those of the makers of turbocharger and engine. Emission and road-traffic law and the rules of the place apply; the work is for qualified people. This sheet replaces neither.',
];
