import type { Build, StudyPlaces } from '../build/index.ts';
import type { CalibrationTable, CeilingTable, ControllerComparison, HeldGoal, SpreadDone } from '../match/types.ts';
import { LINE_PARTS } from './lineParts.ts';

/** What is studied over altitude for one candidate. */
export interface CandidateStudy {
  /** Rows: the altitudes of the grid, then the saved places. */
  ceilings: CeilingTable;
  /** The same over an even, finer grid of altitudes. */
  field: CeilingTable;
  /** The build's own goal held, over the places of `field`. */
  held: HeldGoal;
  /**
   * The target that the goal comes to where the car stands, held as gauge and as absolute pressure: the first place is that of the day,
   * the others are those of `field`.
   */
  controllers: ControllerComparison;
  /** null while step or blades cannot be read. */
  calibration: CalibrationTable | null;
}

/** Everything is of one state of the build, which is kept beside it: results of other inputs are never shown as those of these. */
export interface AltitudeStudy {
  build: Build;
  places: StudyPlaces;
  /** In the order of the candidates; null where the operating line has no input. */
  candidates: readonly (CandidateStudy | null)[];
}

export interface SpreadStudy {
  build: Build;
  candidateIndex: number;
  /** Of the place where the car stands. */
  ambientPressurePa: number;
  spread: SpreadDone;
}

/** One study: what is known, and what is going on. */
export interface StudySlot<T> {
  /** The newest that is done; of the present inputs or of earlier ones. */
  result: T | null;
  running: boolean;
  /** 0..1 where it is known. */
  progress: number | null;
  /** Why there is no result, in plain words. */
  problem: string | null;
}

export interface StudiesState {
  altitude: StudySlot<AltitudeStudy>;
  spread: StudySlot<SpreadStudy>;
  /** The spread is asked for; it is computed again when inputs change, until it is cancelled. */
  spreadWanted: boolean;
}

const idle = { result: null, running: false, progress: null, problem: null };
export const initialStudies: StudiesState = { altitude: idle, spread: idle, spreadWanted: false };

/** Whether a study over altitude of one state of a build holds for another: notes and name do not matter. */
export function isSameAltitudeStudy(a: Build, b: Build): boolean {
  return (
    a === b || [...LINE_PARTS, 'candidates', 'altitudes', 'places', 'calibration'].every((part) => sameAt(a, b, part))
  );
}

/** The same for the spread of one candidate. */
export function isSameSpread(a: Build, b: Build): boolean {
  return a === b || [...LINE_PARTS, 'candidates', 'spread'].every((part) => sameAt(a, b, part));
}

function sameAt(a: Build, b: Build, part: string): boolean {
  return a.id === b.id && a[part as keyof Build] === b[part as keyof Build];
}
