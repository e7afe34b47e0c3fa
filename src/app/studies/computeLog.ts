import {
  type Build,
  dayAir,
  keptRows,
  type LogHints,
  type LogRecord,
  type LogText,
  logTooLarge,
  readLogText,
  refusedLog,
  roadLogOf,
  sameContent,
  tryMatchInput,
} from '../../build/index.ts';
import { FUELS } from '../../engine/index.ts';
import {
  demoLog,
  driftBetween,
  ownPlace,
  readRoadLog,
  solveCeilings,
  solveOperatingLine,
  takeVolumetricEfficiency,
} from '../../match/index.ts';
import type { MatchInput, RoadLogFit, RoadLogOptions, RoadLogResult } from '../../match/types.ts';
import type { Curve } from '../../numerics/types.ts';
import { sha256 } from '../../reading/index.ts';
import type { LogLine, LogStudy, LogSummary, LogTaken } from '../../store/index.ts';
import { MOST_FOR_SPREAD, readSpreadSetup, studyLimitsOf, studySpeeds } from './computeStudies.ts';

export interface LogRequest {
  build: Build;
  candidateIndex: number;
  record: LogRecord;
  bytes: Blob | null;
  /** Another log of the car, held against this one by the rows that the build keeps of it. */
  against?: LogRecord | null;
}

/** Reads a log and holds it against a build. Keeps the text that it read last: a change of the build does not read it again. */
export class LogReader {
  #bytes: Uint8Array<ArrayBuffer> | null = null;
  #hash = '';
  #of: { id: string; hints: LogHints } | null = null;
  #text: LogText | null = null;

  async study(request: LogRequest, onProgress?: (share: number) => void): Promise<Omit<LogStudy, 'build'>> {
    const { build, record } = request;
    const made = record.invented && record.hash === '' && request.bytes === null ? demoBytes(request) : null;
    const bytes = made ?? request.bytes;
    const hints = hintsOf(build, record);
    if (bytes === null) return studied(request, textOfRows(record), record.hash);
    const tooLarge = logTooLarge(bytes.size);
    if (tooLarge !== null) return studied(request, refusedLog('', tooLarge), '');
    if (this.#of?.id !== record.id) {
      this.#bytes = new Uint8Array(await bytes.arrayBuffer());
      this.#hash = await hashOf(this.#bytes);
      this.#text = null;
    }
    if (this.#text === null || !sameContent(this.#of?.hints, hints)) {
      this.#text = readLogText(this.#bytes ?? new Uint8Array(), hints, onProgress);
    }
    this.#of = { id: record.id, hints };
    return studied({ ...request, bytes }, this.#text, this.#hash, made);
  }
}

/** The invented log of the car as it is entered. */
function demoBytes({ build, candidateIndex }: LogRequest): Blob | null {
  const read = tryMatchInput(build, candidateIndex);
  const text = read.ok ? demoLog(read.input) : null;
  return text === null ? null : new Blob([text], { type: 'text/csv' });
}

/** SHA-256 in small letters; by the browser where it offers that, which pages opened from a file do not get. */
async function hashOf(bytes: Uint8Array<ArrayBuffer>): Promise<string> {
  const { subtle } = globalThis.crypto ?? {};
  const hash = subtle === undefined ? sha256(bytes) : new Uint8Array(await subtle.digest('SHA-256', bytes));
  return [...hash].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}

/** What was said of the log, and what the build knows of the day and the fuel. */
function hintsOf(build: Build, { hints }: LogRecord): LogHints {
  const { air } = dayAir(build);
  return {
    ...hints,
    system: build.units?.system,
    fuelDensityKgPerM3: FUELS[build.engine.fuel]?.densityKgPerM3,
    ...(air !== null && { offeredPressurePa: air.ambient.pressurePa }),
  };
}

/** The kept rows in the form of a text that was read. */
function textOfRows(record: LogRecord): LogText {
  const log = roadLogOf(record.rows);
  const count = log.channels[0]?.values.length ?? 0;
  return {
    ...log,
    sessions: [0],
    lines: new Int32Array(count),
    removed: [],
    columns: [],
    findings: [],
    problems: [],
    questions: [],
  };
}

function studied(
  { build, candidateIndex, record, bytes, against = null }: LogRequest,
  text: LogText,
  hash: string,
  made: Blob | null = null,
): Omit<LogStudy, 'build'> {
  const isStopped = text.problems.some(({ severity }) => severity === 'stop');
  const read = tryMatchInput(build, candidateIndex);
  const result =
    isStopped || !read.ok ? null : readRoadLog(read.input, text, optionsOf(build, read.input, record, text));
  return {
    candidateIndex,
    record,
    text: { ...summary(text, result, record, hash, bytes === null), made },
    result,
    inputProblem: read.ok
      ? null
      : (read.problems[0]?.message ?? 'The inputs cannot be read. Check them in the Match view.'),
    taken: read.ok && result?.fit ? takenOf(build, read.input, result.fit) : null,
    drift: read.ok && result !== null && against !== null ? driftOf(build, read.input, against, result) : null,
  };
}

function driftOf(build: Build, input: MatchInput, record: LogRecord, later: RoadLogResult): LogStudy['drift'] {
  const text = textOfRows(record);
  const earlier = readRoadLog(input, text, optionsOf(build, input, record, text));
  return { record, ambient: earlier.ambient, points: driftBetween(earlier, later) };
}

/** The line and its ceilings with the entered curve and with the one of the log. */
function takenOf(build: Build, input: MatchInput, fit: RoadLogFit): LogTaken {
  const taken = takeVolumetricEfficiency(input.engine.volumetricEfficiency, fit);
  const engineSpeedsRpm = studySpeeds(input.engineSpeedsRpm, MOST_FOR_SPREAD);
  const line = (volumetricEfficiency: Curve): LogLine => {
    const car = { ...input, engine: { ...input.engine, volumetricEfficiency }, engineSpeedsRpm };
    const { cells } = solveCeilings(car, [ownPlace(car)], engineSpeedsRpm, studyLimitsOf(build, car));
    const ceilingsPa = (cells[0] ?? []).map((cell) => (cell.status === 'ok' ? cell.gaugeBoostPa : null));
    return { points: solveOperatingLine(car), ceilingsPa };
  };
  const entered = input.engine.volumetricEfficiency;
  return { ...taken, entered, before: line(entered), after: line(taken.curve) };
}

/** Those entered; the usual ones while one of them cannot be read. */
function knownTolerances(build: Build, input: MatchInput) {
  try {
    return readSpreadSetup(build, input).tolerances;
  } catch {
    return undefined;
  }
}

function optionsOf(build: Build, input: MatchInput, record: LogRecord, text: LogText): RoadLogOptions {
  const { wheels } = build.candidates.find(({ id }) => id === record.candidateId) ?? {};
  const count = (typed: { text: string } | undefined) => Number(typed?.text);
  const full = count(wheels?.compressor.fullBlades);
  const splitters = count(wheels?.compressor.splitterBlades);
  const { ambientPressurePa } = record.hints;
  return {
    tolerances: knownTolerances(build, input),
    removed: text.removed,
    shaftSpeedFactor: record.shaftSpeedFactor,
    manifoldZeroPa: record.manifoldZeroPa,
    usePulls: record.usePulls,
    power: record.hints.power,
    // Each row is a solve of the whole car: more are averaged, so that an hour of driving is on the map in a second or two.
    mostRows: 1500,
    ...(full > 0 && { wheelBlades: { full, splitters: Math.max(splitters, 0) || 0 } }),
    ...(ambientPressurePa !== undefined && { ambient: { ...input.ambient, pressurePa: ambientPressurePa } }),
  };
}

function summary(
  text: LogText,
  result: RoadLogResult | null,
  record: LogRecord,
  hash: string,
  isFromKeptRows: boolean,
): Omit<LogSummary, 'made'> {
  const { columns, findings, problems, questions, timeS } = text;
  return {
    columns,
    findings,
    problems,
    questions,
    rowCount: text.lines.length,
    sessionCount: text.sessions.length,
    durationS: timeS === null || timeS.length === 0 ? null : timeS.at(-1)! - timeS[0]!,
    header: columns.length === 0 ? record.header : columns.map(({ name }) => name).join('|'),
    hash,
    rows: isFromKeptRows ? record.rows : keptRows(text, result?.pulls ?? []),
    isFromKeptRows,
  };
}
