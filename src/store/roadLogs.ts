import type { Build, LogRecord, LogRows, LogText } from '../build/index.ts';
import type { Ambient, LogDrift, OperatingPoint, RoadLogResult, TakenVe } from '../match/types.ts';
import type { Curve } from '../numerics/types.ts';

/** A log that is being looked at. */
export interface OpenedLog {
  record: LogRecord;
  /** null: only the rows that the build keeps are on this machine; of a new one that is invented: it is still to be made. */
  bytes: Blob | null;
  /** Not in the build yet: it is added when it has been read. */
  isNew: boolean;
}

/** What the page keeps of a log that was read; the channels stay with the worker. */
export interface LogSummary extends Pick<LogText, 'columns' | 'findings' | 'problems' | 'questions'> {
  rowCount: number;
  sessionCount: number;
  durationS: number | null;
  header: string;
  hash: string;
  /** The rows that the document keeps. */
  rows: LogRows;
  /** The file, where it was made and not opened. */
  made: Blob | null;
  /** Lines of the file of those rows are not kept; where the raw file is missing, this is said. */
  isFromKeptRows: boolean;
}

/** What a log says of one candidate, beside the build and the record that it is of. */
export interface LogStudy {
  build: Build;
  candidateIndex: number;
  record: LogRecord;
  text: LogSummary;
  /** null: the log or the inputs stand in the way; `text.problems` or `inputProblem` says how. */
  result: RoadLogResult | null;
  inputProblem: string | null;
  taken: LogTaken | null;
  /** Against the other log that was asked for; null: none was, or one of the two cannot be compared. */
  drift: { record: LogRecord; ambient: Ambient; points: readonly LogDrift[] } | null;
}

/** A volumetric efficiency to take, and what changes with it; ceilings of the place where the car stands. */
export interface LogTaken extends TakenVe {
  entered: Curve;
  before: LogLine;
  after: LogLine;
}

export interface LogLine {
  points: readonly OperatingPoint[];
  /** Gauge boost, Pa, by engine speed of the points; null where there is no ceiling; null as a whole: not solved. */
  ceilingsPa: readonly (number | null)[] | null;
}

const LOG_NAME = /\.(csv|txt|log|tsv|dat|asc)$/i;

/** Whether a file is to be read as a road log: by its name, unless it holds one of the program's own files. */
export async function isLogFile(file: Blob & { name: string }): Promise<boolean> {
  if (!LOG_NAME.test(file.name)) return false;
  const head = await file.slice(0, 64).text();
  return !/^\uFEFF?\s*[{[]/.test(head);
}

/** A new record for a file, before it is read. */
export function draftOfFile(
  id: string,
  name: string,
  addedAt: string,
  candidateId: string,
  invented = false,
): LogRecord {
  return {
    id,
    name: name.slice(0, 200),
    hash: '',
    addedAt,
    ...(invented && { invented }),
    candidateId,
    header: '',
    hints: {},
    rows: { timeS: null, channels: [] },
  };
}
