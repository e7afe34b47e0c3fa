import type { RemovedReading } from '../../match/index.ts';
import type { LogChannel, LogChannelKey } from '../../match/log/types.ts';
import type { UnitSystem } from '../../units/index.ts';
import type { KeptHints } from '../schema.ts';

/** What a column is: a channel of the road log, its time, or nothing that is used. */
export type ColumnRole = LogChannelKey | 'time' | 'unused';
export type PressureBasis = 'absolute' | 'gauge';

/** Answers to questions, and what the build knows of the day. Kept beside a log, so that it reads the same next year. */
export interface LogHints extends KeptHints {
  /** Barometer of the build's day, Pa: offered where the log has none, taken only when it is chosen. */
  readonly offeredPressurePa?: number | undefined;
  /** In which units a question speaks of it; metric where none is given. */
  readonly system?: UnitSystem | undefined;
  /** Turns a fuel flow by volume into one by mass. */
  readonly fuelDensityKgPerM3?: number | undefined;
}
export type ColumnHint = NonNullable<KeptHints['columns']>[string];

/** How one column of the file was understood. */
export interface LogColumn {
  readonly index: number;
  readonly name: string;
  readonly role: ColumnRole;
  /** 0 to 1: how surely the column is what `role` says. Below 0.8 a question asks. */
  readonly score: number;
  /** Key of the unit, '' where it has none. */
  readonly unit: string;
  readonly unitFrom: 'file' | 'range' | 'hint';
  readonly basis: PressureBasis | null;
  /** In words, what decided between gauge and absolute; '' where nothing had to. */
  readonly basisFrom: string;
  /** The cells of two rows as they stand in the file. */
  readonly samples: readonly [string, string];
  /** From one update of the channel to the next, s, where it repeats values or leaves cells empty; else null. */
  readonly updatePeriodS: number | null;
}

/** What was found in the rows and kept out, or mended: how often, where first (row of the table from 0), and why. */
export interface LogFinding {
  readonly code:
    | 'spike'
    | 'drop-out'
    | 'pegged'
    | 'held'
    | 'duplicate'
    | 'gap'
    | 'repeated-header'
    | 'text-row'
    | 'short-row'
    | 'unreadable'
    | 'no-time';
  readonly channel: LogChannelKey | null;
  readonly count: number;
  readonly message: string;
}

/** A question with its answers. The log is read with `taken` until another is chosen. */
export interface LogQuestion {
  readonly code:
    | 'separator'
    | 'decimal'
    | 'role'
    | 'station'
    | 'unit'
    | 'basis'
    | 'pulses'
    | 'weather'
    | 'pegged'
    | 'power';
  readonly column: number | null;
  readonly message: string;
  readonly choices: readonly { readonly label: string; readonly hints: LogHints }[];
  readonly taken: number;
  /** Rows of the file that show what is asked, as they stand. */
  readonly rows: readonly string[];
}

export interface LogProblem {
  /** 'stop': the log cannot be used as it is. */
  readonly severity: 'stop' | 'warning';
  /** Where: a line, a column, or '' for the whole. */
  readonly path: string;
  readonly message: string;
}

/** A log as read: `channels` and `timeS` are what `readRoadLog` takes. */
export interface LogText {
  readonly channels: readonly LogChannel[];
  readonly timeS: Float64Array | null;
  /** First rows of the sessions: the first is 0. */
  readonly sessions: readonly number[];
  /** Line of the file of every row, from 1. */
  readonly lines: Int32Array;
  readonly removed: readonly RemovedReading[];
  readonly columns: readonly LogColumn[];
  readonly findings: readonly LogFinding[];
  readonly problems: readonly LogProblem[];
  readonly questions: readonly LogQuestion[];
}
