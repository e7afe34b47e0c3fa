import { vapourMoleFraction } from '../../air/index.ts';
import { evaluateCurve } from '../../numerics/index.ts';
import { studyLimits } from '../held-limits.ts';
import { LIMITS, type StudyLimits } from '../limits.ts';
import { mapEdges, once } from '../operating-line.ts';
import type { MatchInput } from '../types.ts';
import { mapReach } from './boost-path.ts';
import { type PlaceSolver, placeSolver } from './ceilings.ts';
import { askedPressure, holdGoal } from './held-goal.ts';
import { inputAt } from './places.ts';
import type { BindingLimit, Place } from './types.ts';

/*
 * The table that a control unit holds: a boost target over engine speed and barometric pressure, at the control unit's own breakpoints.
 * Between its cells a control unit interpolates in a straight line both ways, so that the middle between cells is held as well.
 */

/** What the numbers of a table are. 'ratio': manifold pressure over barometric pressure, which is not that of the compressor. */
export type TablePressure = 'absolute' | 'gauge' | 'ratio';

export interface ControlTableOptions {
  /** Breakpoints, rising or falling. */
  engineSpeedsRpm: readonly number[];
  /** Barometric pressures, rising or falling. */
  barometersPa: readonly number[];
  /** Air temperatures that the table must hold at; at each cell the lowest of them counts. At least one. */
  temperaturesK: readonly number[];
  /** 0..1, the same everywhere. */
  relativeHumidity: number;
  kind: TablePressure;
  /** Pa, or a share for 'ratio'; above 0. Values are rounded down to whole steps. */
  step: number;
  limits?: StudyLimits | undefined;
  /** The table that is there already, in Pa or as a ratio: `[engine speed][barometer]`; null: no number in that cell. */
  entered?: readonly (readonly (number | null)[])[] | undefined;
  /** Called now and then with the share done, 0..1. */
  onProgress?: ((share: number) => void) | undefined;
}

/** A cell of the table that is there already, held against the ceiling. */
export interface EnteredCell {
  /** Pa, or a ratio. */
  value: number;
  /**
   * 'over': more than the ceiling. 'under': below the ceiling, and yet a limit is crossed (left of surge). 'none': no boost at all holds
   * every limit there. 'holds': nothing is crossed.
   */
  verdict: 'holds' | 'over' | 'under' | 'none';
  /** null where it holds. */
  limit: BindingLimit | null;
  /** Absolute pressure over the ceiling, Pa; 0 where it is not over. */
  overPa: number;
}

export interface ControlCell {
  /** Lowest ceiling over the temperatures, Pa absolute; null: at one of them none holds. */
  ceilingPa: number | null;
  /** What holds the ceiling down, or why there is none. */
  binding: BindingLimit;
  /** At which air temperature. */
  atTemperatureK: number;
  /** Lowest pressure that the goal asks for over the temperatures, Pa absolute; null: there is no goal, or it is more than there can be. */
  goalPa: number | null;
  /** Whole steps of the lower of both, rounded down; null: no answer. */
  steps: number | null;
  /** By how many steps it was lowered so that the middle between cells holds. */
  loweredBy: number;
  /** Why there is no answer though there is a ceiling: a limit that the value crosses from below. */
  crossed: BindingLimit | null;
  entered: EnteredCell | null;
}

/** What was seen in the middle between cells: of two neighbours, and of four. */
export interface MiddleCheck {
  checked: number;
  /** Beside a cell without a number: nothing to check. */
  unchecked: number;
  /** Where no boost at all holds every limit: no number in the cells can help. */
  unanswered: number;
  /** Where the interpolated value crosses a limit from below. */
  under: number;
}

export interface ControlTable {
  options: Omit<ControlTableOptions, 'onProgress' | 'entered'>;
  limits: StudyLimits;
  /** `cells[engine speed][barometer]` */
  cells: readonly (readonly ControlCell[])[];
  middles: MiddleCheck;
  /** Of the table that is there already: how many middles between its cells lie over the ceiling there; null: none was given. */
  enteredMiddlesOver: number | null;
}

export type ControlTableResult = { ok: true; table: ControlTable } | { ok: false; message: string };

/** A number of the table as absolute pressure, Pa. */
export function tableToAbsolute(value: number, kind: TablePressure, barometerPa: number): number {
  if (kind === 'ratio') return value * barometerPa;
  return kind === 'gauge' ? value + barometerPa : value;
}

/** An absolute pressure, Pa, as a number of the table. */
export function absoluteToTable(pressurePa: number, kind: TablePressure, barometerPa: number): number {
  if (kind === 'ratio') return pressurePa / barometerPa;
  return kind === 'gauge' ? pressurePa - barometerPa : pressurePa;
}

/** A goal that stands on a step must not lose it to the last digit of a conversion. */
const LAST_DIGIT = 1e-6;

/** Whole steps of the lower of both, never over the ceiling. */
function stepsBelow(ceiling: number, goal: number | null, step: number): number {
  let steps = Math.floor(Math.min(ceiling, goal ?? Number.POSITIVE_INFINITY) / step + LAST_DIGIT);
  while (steps * step > ceiling) steps -= 1;
  return steps;
}

/** One barometric pressure: a solver for each air temperature. */
interface Column {
  barometerPa: number;
  solvers: readonly { place: Place; solver: PlaceSolver }[];
}

/**
 * The table of boost targets for a control unit: in each cell the lower of the ceiling (`solveCeilings`) and the goal, the lowest over the
 * air temperatures, rounded down to whole steps; lowered where the straight line between cells would lie over the ceiling in the middle.
 * Only the cells and the middles are looked at. A table that is there already is held against the same ceilings.
 *
 * @returns the table, or one plain sentence why there is none; a cell without an answer has no number. Never NaN, never throws
 */
export function controlTable(input: MatchInput, options: ControlTableOptions): ControlTableResult {
  const { engineSpeedsRpm, barometersPa, temperaturesK, relativeHumidity, kind, step, entered, onProgress } = options;
  const limits = studyLimits(input, options.limits);
  const edges = once(() => mapEdges(input.compressor));
  const reach = once(() => mapReach(input.compressor));
  const columnAt = (barometerPa: number): Column => ({
    barometerPa,
    solvers: temperaturesK.map((temperatureK) => {
      const vapour = relativeHumidity === 0 ? 0 : vapourMoleFraction(relativeHumidity, temperatureK, barometerPa);
      const ambient = { pressurePa: barometerPa, temperatureK, vapourMoleFraction: vapour ?? Number.NaN };
      const place = { name: '', altitudeM: null, ambient };
      return { place, solver: placeSolver({ ...inputAt(input, ambient), limits }, limits, edges, reach) };
    }),
  });
  const first = engineSpeedsRpm[0];
  if (first === undefined || barometersPa.length === 0 || temperaturesK.length === 0)
    return { ok: false, message: 'The table has no breakpoints. Enter them.' };

  // As many units of work as the solver is asked for, roughly: a ceiling is some five looks at a point.
  const work = engineSpeedsRpm.length * barometersPa.length * (5 + 3 + (entered ? 3 : 0));
  let done = 0;
  const progress = (units: number) => {
    done += units;
    onProgress?.(Math.min(1, done / work));
  };

  const columns = barometersPa.map(columnAt);
  const cells: Mutable<ControlCell>[][] = engineSpeedsRpm.map((rpm) =>
    columns.map((column) => {
      progress(5);
      return cellAt(input, column, rpm, options, limits);
    }),
  );
  const bad = cells.flat().find(({ ceilingPa, binding }) => ceilingPa === null && binding === 'bad-input');
  if (bad !== undefined) {
    const { solver } = columns[0]!.solvers[0]!;
    const ceiling = solver.ceiling(first);
    return { ok: false, message: ceiling.status === 'bad-input' ? ceiling.message : BAD_AIR };
  }

  const middles = middlesOf(engineSpeedsRpm, barometersPa);
  const columnOf = new Map<number, Column>();
  const columnFor = (barometerPa: number) => {
    const known = columnOf.get(barometerPa) ?? columns.find((column) => column.barometerPa === barometerPa);
    const made = known ?? columnAt(barometerPa);
    columnOf.set(barometerPa, made);
    return made;
  };
  const check: MiddleCheck = { checked: 0, unchecked: 0, unanswered: 0, under: 0 };
  let enteredOver = 0;
  for (const middle of middles) {
    const column = columnFor(middle.barometerPa);
    lower(cells, middle, column, { kind, step }, check);
    progress(1);
    if (entered === undefined) continue;
    const values = middle.corners.map(([r, c]) => entered[r]?.[c] ?? null);
    if (isOver(mean(values), middle, column, kind)) enteredOver += 1;
    progress(1);
  }

  engineSpeedsRpm.forEach((rpm, r) => {
    columns.forEach((column, c) => {
      const cell = cells[r]![c]!;
      if (cell.steps !== null) {
        const pressurePa = tableToAbsolute(cell.steps * step, kind, column.barometerPa);
        cell.crossed = crossedAt(column, rpm, pressurePa);
        if (cell.crossed !== null) cell.steps = null;
      }
      const value = entered?.[r]?.[c] ?? null;
      if (value !== null) cell.entered = enteredCell(cell, column, rpm, value, kind);
    });
  });
  onProgress?.(1);
  const { onProgress: _progress, entered: _entered, ...kept } = options;
  return {
    ok: true,
    table: { options: kept, limits, cells, middles: check, enteredMiddlesOver: entered ? enteredOver : null },
  };
}

const BAD_AIR = 'No air can be made of these temperatures, pressures and the humidity of the day: check them.';

type Mutable<T> = { -readonly [K in keyof T]: T[K] };

function cellAt(
  input: MatchInput,
  column: Column,
  rpm: number,
  { kind, step }: ControlTableOptions,
  limits: StudyLimits,
): Mutable<ControlCell> {
  const found = lowestCeiling(column, rpm);
  const goalPa = goalAt(input, column, rpm, limits);
  const inTable = (pa: number) => absoluteToTable(pa, kind, column.barometerPa);
  const steps =
    found.ceilingPa === null
      ? null
      : stepsBelow(inTable(found.ceilingPa), goalPa === null ? null : inTable(goalPa), step);
  return { ...found, goalPa, steps, loweredBy: 0, crossed: null, entered: null };
}

function lowestCeiling(
  { solvers }: Column,
  rpm: number,
): Pick<ControlCell, 'ceilingPa' | 'binding' | 'atTemperatureK'> {
  let lowest: Pick<ControlCell, 'ceilingPa' | 'binding' | 'atTemperatureK'> | null = null;
  for (const { place, solver } of solvers) {
    const ceiling = solver.ceiling(rpm);
    const { binding } = ceiling;
    const atTemperatureK = place.ambient.temperatureK;
    if (ceiling.status !== 'ok') return { ceilingPa: null, binding, atTemperatureK };
    const ceilingPa = ceiling.manifoldPressurePa;
    if (lowest?.ceilingPa == null || ceilingPa < lowest.ceilingPa) lowest = { ceilingPa, binding, atTemperatureK };
  }
  return lowest ?? { ceilingPa: null, binding: 'bad-input', atTemperatureK: Number.NaN };
}

function goalAt(input: MatchInput, { barometerPa, solvers }: Column, rpm: number, limits: StudyLimits): number | null {
  const { kind, curve } = input.goal;
  if (kind === 'gauge-boost' || kind === 'manifold-pressure') {
    const value = evaluateCurve(curve, rpm);
    return value === null ? null : value + (kind === 'gauge-boost' ? barometerPa : 0);
  }
  const places = solvers.map(({ place }) => place);
  const held = holdGoal(input, { places, engineSpeedsRpm: [rpm], limits });
  const asked = places.map((place, p) => askedPressure(held, place, held.cells[p]![0]!, rpm));
  const lowest = Math.min(...asked.map((pa) => pa ?? Number.POSITIVE_INFINITY));
  return Number.isFinite(lowest) ? lowest : null;
}

/** The first limit that a pressure crosses at one of the air temperatures; null: all hold at all of them. */
function crossedAt({ barometerPa, solvers }: Column, rpm: number, pressurePa: number): BindingLimit | null {
  for (const { solver } of solvers) {
    const crossed = solver.crossed(rpm, pressurePa);
    // Without boost the compressor idles, which no map shows: that there is no point crosses nothing.
    const isIdling = pressurePa <= barometerPa && crossed !== null && !(crossed in LIMITS);
    if (crossed !== null && !isIdling) return crossed;
  }
  return null;
}

/** The middle between two neighbours, or between four. */
interface Middle {
  engineSpeedRpm: number;
  barometerPa: number;
  /** Row and column of the cells that it lies between. */
  corners: readonly (readonly [number, number])[];
}

function middlesOf(speeds: readonly number[], barometers: readonly number[]): Middle[] {
  const made: Middle[] = [];
  for (let r = 0; r < speeds.length; r++) {
    for (let c = 0; c < barometers.length; c++) {
      for (const [down, right] of [
        [1, 0],
        [0, 1],
        [1, 1],
      ] as const) {
        const [s, b] = [speeds[r + down], barometers[c + right]];
        if (s === undefined || b === undefined) continue;
        const corners: [number, number][] = [
          [r, c],
          [r + down, c + right],
        ];
        if (down === 1 && right === 1) corners.push([r + 1, c], [r, c + 1]);
        made.push({ engineSpeedRpm: (speeds[r]! + s) / 2, barometerPa: (barometers[c]! + b) / 2, corners });
      }
    }
  }
  return made;
}

function mean(values: readonly (number | null)[]): number | null {
  let sum = 0;
  for (const value of values) {
    if (value === null) return null;
    sum += value;
  }
  return sum / values.length;
}

/** Lowers the highest of the cells around a middle until the middle is under its ceiling; says in `check` what was seen. */
function lower(
  cells: Mutable<ControlCell>[][],
  { engineSpeedRpm, barometerPa, corners }: Middle,
  column: Column,
  { kind, step }: Pick<ControlTableOptions, 'kind' | 'step'>,
  check: { -readonly [K in keyof MiddleCheck]: number },
): void {
  const around = corners.map(([r, c]) => cells[r]![c]!);
  const between = mean(around.map(({ steps }) => steps));
  if (between === null) {
    check.unchecked += 1;
    return;
  }
  check.checked += 1;
  const pressurePa = tableToAbsolute(between * step, kind, barometerPa);
  if (crossedAt(column, engineSpeedRpm, pressurePa) === null) return;
  const { ceilingPa } = lowestCeiling(column, engineSpeedRpm);
  if (ceilingPa === null) check.unanswered += 1;
  else if (pressurePa <= ceilingPa) check.under += 1;
  else {
    const most = absoluteToTable(ceilingPa, kind, barometerPa) / step;
    let sum = between * around.length;
    while (sum > most * around.length) {
      const highest = around.reduce((a, b) => (b.steps! > a.steps! ? b : a));
      highest.steps! -= 1;
      highest.loweredBy += 1;
      sum -= 1;
    }
  }
}

function isOver(value: number | null, { engineSpeedRpm, barometerPa }: Middle, column: Column, kind: TablePressure) {
  if (value === null) return false;
  const pressurePa = tableToAbsolute(value, kind, barometerPa);
  if (crossedAt(column, engineSpeedRpm, pressurePa) === null) return false;
  const { ceilingPa } = lowestCeiling(column, engineSpeedRpm);
  return ceilingPa === null || pressurePa > ceilingPa;
}

/** Of a share: a cell that stands exactly at its ceiling must not fail by the last digit of a conversion. */
const ROUNDING = 1e-9;

function enteredCell(
  { ceilingPa, binding }: ControlCell,
  column: Column,
  rpm: number,
  value: number,
  kind: TablePressure,
): EnteredCell {
  const pressurePa = tableToAbsolute(value, kind, column.barometerPa);
  if (ceilingPa === null) return { value, verdict: 'none', limit: binding, overPa: 0 };
  if (pressurePa > ceilingPa * (1 + ROUNDING))
    return { value, verdict: 'over', limit: binding, overPa: pressurePa - ceilingPa };
  const limit = crossedAt(column, rpm, Math.min(pressurePa, ceilingPa));
  return { value, verdict: limit === null ? 'holds' : 'under', limit, overPa: 0 };
}
