import { type OperatingPoint, readResult, resultsAt } from '../match/index.ts';
import { sha256 } from '../reading/index.ts';
import type { Build, Candidate, FiledFigure, FiledSheet, MapDraft, Typed } from './document.ts';

/** Solvers stop at a part in a million of what matters; machines differ in the fifteenth digit. Between them a number is the same. */
const SAME = 1e-9;

/**
 * A record of a sheet as it is filed: which program made it, from which inputs, with which numbers. It is kept beside the build and never
 * shown as a result: it only tells, when the build is opened again, what has changed.
 *
 * @param programVersion of the program that made the numbers
 * @param lines operating lines by candidate id
 */
export function sheetRecord(
  build: Build,
  programVersion: string,
  lines: readonly { candidateId: string; points: readonly OperatingPoint[] }[],
): FiledSheet {
  const figures = lines.flatMap(({ candidateId, points }) =>
    points.flatMap((point): FiledFigure[] => {
      const at = { candidateId, engineSpeedRpm: point.engineSpeedRpm };
      if (point.status !== 'ok') return [{ ...at, key: point.status, value: null }];
      // Points without a turbine keep none of its numbers: sheets filed before there were any compare as they did.
      const keys = resultsAt('filed', { turbine: point.turbine !== null });
      return keys.map((key) => ({ ...at, key, value: readResult(key, point) }));
    }),
  );
  return { programVersion, dateText: build.sheet.dateText, inputs: inputsHash(build), figures };
}

/** What is different between a filed sheet and the same build now. */
interface FiledChanges {
  /** null: the same program. */
  programVersion: { was: string; now: string } | null;
  /** Something that the numbers depend on was entered differently since. */
  inputsChanged: boolean;
  /** Numbers that are not what they were; a candidate or engine speed that is no longer there, or is new, has null on one side. */
  figures: readonly { was: FiledFigure | null; now: FiledFigure | null }[];
}

/** Holds a filed record against the record of the same build now. */
export function filedChanges(filed: FiledSheet, now: FiledSheet): FiledChanges {
  const name = (f: FiledFigure) => `${f.candidateId} ${f.engineSpeedRpm} ${f.key}`;
  const present = new Map(now.figures.map((f) => [name(f), f]));
  const before = new Set(filed.figures.map(name));
  const changed = filed.figures.flatMap((was) => {
    const is = present.get(name(was)) ?? null;
    return is !== null && isSame(was.value, is.value) ? [] : [{ was, now: is }];
  });
  const added = now.figures.filter((f) => !before.has(name(f))).map((f) => ({ was: null, now: f }));
  const isSameProgram = filed.programVersion === now.programVersion;
  return {
    programVersion: isSameProgram ? null : { was: filed.programVersion, now: now.programVersion },
    inputsChanged: filed.inputs !== now.inputs,
    figures: [...changed, ...added],
  };
}

function isSame(a: number | null, b: number | null): boolean {
  if (a === null || b === null) return a === b;
  return Math.abs(a - b) <= SAME * Math.max(Math.abs(a), Math.abs(b), SAME);
}

/** SHA-256 in hexadecimal of everything entered that the operating lines depend on; names, notes and sources are not among it. */
function inputsHash(build: Build): string {
  const { engine, fuelSupply, air, goal, engineSpeeds } = build;
  // Likewise what belongs to several turbos.
  const several = build.candidates.some(({ turboCount }) => turboCount > 1);
  const path = <P extends { of: unknown }>({ of, ...rest }: P) => (several ? { of, ...rest } : rest);
  const { backPressureRatio, turbineInletTemperature, torque, ...limits } = build.limits;
  // What came with the turbine is among the inputs only where one is used: a sheet filed before has the hash that it had.
  const withTurbine = build.candidates.some(({ turbine }) => turbine.source !== 'none');
  const ofTurbine = withTurbine ? { exhaust: path(build.exhaust), backPressureRatio, turbineInletTemperature } : {};
  const candidates = build.candidates.map(candidateInputs);
  const text = inOrder({
    engine,
    fuelSupply,
    air,
    inletPath: path(build.inletPath),
    chargePath: path(build.chargePath),
    goal,
    engineSpeeds,
    limits,
    candidates,
    ...ofTurbine,
    ...(isEntered(torque) ? { torque } : {}),
  });
  const bytes = sha256(new TextEncoder().encode(text));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}

/** What came later is among the inputs only where it is entered. */
const isEntered = ({ text }: Typed) => text.trim() !== '';

function candidateInputs(candidate: Candidate) {
  const { id, map, donor, turboCount, shaftSpeedLimit, assumedEfficiency, wheels } = candidate;
  const { caliperUncertainty, compressor } = wheels;
  return {
    id,
    map: map && tables(map),
    donor: donor && tables(donor),
    shaftSpeedLimit,
    assumedEfficiency,
    caliperUncertainty,
    compressor,
    ...(turboCount === 1 ? {} : { turboCount }),
    ...turbineInputs(candidate),
  };
}

function turbineInputs({ turbine, turbineSheet, wheels, housing, wastegate }: Candidate) {
  if (turbine.source === 'none') return {};
  // The figures of one entry count twice but in a single scroll.
  const { turbineAreaRadius: areaRadius, scroll, gate } = housing;
  const measured = { wheel: wheels.turbine, areaRadius, scroll, gate };
  return {
    ...(isEntered(wastegate.diameter) || isEntered(wastegate.area) ? { wastegate } : {}),
    turbine: { ...turbine, ...measured, sheet: turbine.source === 'sheet' && turbineSheet && tables(turbineSheet) },
  };
}

function tables(map: MapDraft) {
  const { kind, flowParameter, reference, flowUnit, efficiencyUnit } = map;
  const { speedLines, surgeLine, islands, limits, wheel, habits } = map;
  return {
    kind,
    flowParameter,
    reference,
    flowUnit,
    efficiencyUnit,
    speedLines,
    surgeLine,
    islands,
    limits,
    wheel,
    habits: habits ?? null,
  };
}

/** JSON with the names of every object in order: a file need not keep the order in which they were written. */
function inOrder(value: unknown): string {
  return JSON.stringify(value, (_key, inner: unknown) =>
    typeof inner === 'object' && inner !== null && !Array.isArray(inner)
      ? Object.fromEntries(Object.entries(inner).sort(([a], [b]) => (a < b ? -1 : 1)))
      : inner,
  );
}
