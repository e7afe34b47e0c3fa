import {
  type Build,
  type Candidate,
  candidateSurface,
  type MapFitter,
  type Problem,
  tryMatchInput,
} from '../build/index.ts';
import type { AuditFinding, CompressorSurface, MapSheet } from '../compressor/index.ts';
import { type Finding, findings, type MatchInput, type OperatingPoint, solveOperatingLine } from '../match/index.ts';
import { memory } from '../numerics/index.ts';

/** All that is computed for one candidate of a build. Derived, never saved. */
export interface CandidateResults {
  candidate: Candidate;
  /** The map's tables as numbers; null: no map, or no reference state. */
  sheet: MapSheet | null;
  surface: CompressorSurface | null;
  /** What was left out of the map's tables, or why they cannot be fitted, errors first; places count their rows. */
  mapProblems: readonly AuditFinding[];
  /** null: see `problems`. */
  input: MatchInput | null;
  /** Entries that stand in the way, each with its path in the build. */
  problems: readonly Problem[];
  /** One for each engine speed; none without input. */
  points: readonly OperatingPoint[];
  /** Worst first. */
  findings: readonly Finding[];
}

const known = memory<Candidate, CandidateResults>();

/**
 * The results of one candidate, computed once while build and candidate are the same objects; null when there is no such candidate.
 * A change of air or engine solves the line again but does not fit the map again.
 */
export function candidateResults(build: Build, index: number, fitter: MapFitter): CandidateResults | null {
  const candidate = build.candidates[index];
  if (candidate === undefined) return null;
  const parts = [index, fitter, ...LINE_PARTS.map((part) => build[part])];
  return known(candidate, parts, () => compute(build, candidate, index, fitter));
}

function compute(build: Build, candidate: Candidate, index: number, fitter: MapFitter): CandidateResults {
  const fit = candidateSurface(build, index, fitter);
  const read = tryMatchInput(build, index, fitter);
  const points = read.ok ? solveOperatingLine(read.input) : [];
  return {
    candidate,
    sheet: fit?.sheet ?? null,
    surface: fit?.surface ?? null,
    mapProblems: fit?.mapProblems ?? [],
    input: read.ok ? read.input : null,
    problems: read.ok ? [] : read.problems,
    points,
    findings: read.ok ? findings(points, read.input) : [],
  };
}

/**
 * The parts of a build, its candidates apart, that operating lines depend on: its name and notes are not among them. Whatever is
 * remembered of a line is compared by these, so that none forgets a part.
 */
export const LINE_PARTS = [
  'engine',
  'fuelSupply',
  'air',
  'inletPath',
  'chargePath',
  'exhaust',
  'goal',
  'engineSpeeds',
  'limits',
] as const;
