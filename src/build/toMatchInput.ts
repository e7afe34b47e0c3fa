import { DRY_AIR_GAS_CONSTANT, density, moistAir, stationPressure, vapourMoleFraction } from '../air/index.ts';
import type { ReferenceState } from '../compressor/types.ts';
import type { EngineInput } from '../engine/types.ts';
import type { Ambient, MatchInput } from '../match/types.ts';
import { memory } from '../numerics/index.ts';
import type { TurbineInput } from '../turbine/types.ts';
import type { placeFields } from './buildFields.ts';
import { candidateReader, candidateSurface, wheelDoubts } from './candidateSurface.ts';
import { candidateTurbine } from './candidateTurbine.ts';
import { type MapFitter, mapFitter } from './compressorSheet.ts';
import type { BarometerKind, Build, Problem } from './document.ts';
import { type BuildReader, buildReader, type FieldReader, readLoss } from './fieldReader.ts';

/** More engine speeds than this are no line but a load on the machine. */
const MOST_ENGINE_SPEEDS = 400;

/** The input in SI, or why there is none; notes are remarks that do not stand in the way. Paths count from the build. */
type MatchInputResult =
  | { ok: true; input: MatchInput; notes: readonly Problem[] }
  | { ok: false; problems: readonly Problem[]; notes: readonly Problem[] };

/** Thrown by toMatchInput: the entries that stand in the way, each with its path and a sentence. */
export class BuildProblems extends Error {
  override readonly name = 'BuildProblems';
  readonly problems: readonly Problem[];

  constructor(problems: readonly Problem[]) {
    super(problems.map(({ path, message }) => (path === '' ? message : `${path}: ${message}`)).join('\n'));
    this.problems = problems;
  }
}

/**
 * A build and one of its candidates as input of the operating line, all SI.
 * @throws BuildProblems with every entry that stands in the way; tryMatchInput gives the same as a value.
 */
export function toMatchInput(build: Build, candidateIndex: number, fitter: MapFitter = mapFitter): MatchInput {
  const result = tryMatchInput(build, candidateIndex, fitter);
  if (!result.ok) throw new BuildProblems(result.problems);
  return result.input;
}

/** A build and one of its candidates as input of the operating line, all SI; or every entry that stands in the way. */
export function tryMatchInput(build: Build, candidateIndex: number, fitter: MapFitter = mapFitter): MatchInputResult {
  const reader = buildReader(build);
  const { kind } = build.goal;
  const engine = readOnce(build, 'engine', reader, (own) => readEngine(build, own));
  const ambient = readAmbient(build, reader);
  const inlet = readLoss(build, reader, 'inletPath');
  const heatingK = reader.number('inletPath.heating');
  const charge = readLoss(build, reader, 'chargePath');
  const cooler = readCooler(build, reader, ambient?.temperatureK ?? null);
  const goalCurve = readOnce(build, 'goal', reader, (own) => own.curve(`goal.curves.${kind}`));
  const engineSpeedsRpm = reader.steps('engineSpeeds', MOST_ENGINE_SPEEDS, 'engine speed');
  const turbo = readCandidate(build, candidateIndex, reader, fitter);
  const turbine = readTurbine(build, candidateIndex, reader);
  const limits = readOnce(build, 'limits', reader, (own) => own.group('limits'));
  const { problems, notes } = reader;
  if (
    problems.length > 0 ||
    engine === null ||
    ambient === null ||
    inlet === null ||
    heatingK === null ||
    charge === null ||
    cooler === null ||
    goalCurve === null ||
    engineSpeedsRpm === null ||
    turbo === null ||
    limits === null
  ) {
    return { ok: false, problems, notes };
  }
  const shaftSpeedRpm = turbo.shaftSpeedRpm ?? turbo.surface.limits.shaftSpeedRpm;
  const input: MatchInput = {
    engine,
    ambient,
    inletPath: { ...inlet, heatingK },
    chargePath: { ...charge, cooler },
    goal: { kind, curve: goalCurve },
    compressor: turbo.surface,
    ...(turbo.turboCount === 1 ? {} : { turboCount: turbo.turboCount }),
    ...(turbo.assumedEfficiency === undefined ? {} : { assumedEfficiency: turbo.assumedEfficiency }),
    limits: shaftSpeedRpm === undefined ? limits : { ...limits, shaftSpeedRpm },
    ...(turbine === null ? {} : { turbine }),
    engineSpeedsRpm,
  };
  return { ok: true, input, notes };
}

const known = memory<object, Pick<BuildReader, 'problems' | 'notes'> & { value: unknown }>();

/** Read once while the part is the same object: a change of the air reads no table of the engine anew, nor does the second candidate. */
function readOnce<T>(
  build: Build,
  part: 'engine' | 'goal' | 'limits',
  reader: BuildReader,
  read: (own: BuildReader) => T,
): T {
  const { value, problems, notes } = known(build[part], [build.fuelSupply], () => {
    const own = buildReader(build);
    return { value: read(own), problems: own.problems, notes: own.notes };
  });
  reader.problems.push(...problems);
  reader.notes.push(...notes);
  return value as T;
}

/** Engine and fuel supply. */
function readEngine(build: Build, reader: BuildReader): EngineInput | null {
  const { strokesPerCycle, injection, fuel } = build.engine;
  const { railReference, checked } = build.fuelSupply;
  const engine = reader.group('engine');
  const supply = checked ? reader.group('fuelSupply') : undefined;
  if (engine === null || supply === null) return null;
  const fuelSupply = supply === undefined ? {} : { fuelSupply: { ...supply, railReference } };
  return { ...engine, strokesPerCycle, injection, fuel, ...fuelSupply };
}

export function readAmbient(build: Build, reader: BuildReader): Ambient | null {
  const { kind } = build.air.barometer;
  const altitudeM = reader.number('air.altitude');
  const barometerPa = kind === 'standard' ? undefined : reader.number('air.barometer.pressure');
  const temperatureK = reader.number('air.temperature');
  const humidity = reader.number('air.relativeHumidity');
  return ambientOf({ kind, altitudeM, barometerPa, temperatureK, humidity }, reader, 'air.');
}

interface AirNumbers {
  kind: BarometerKind;
  altitudeM: number | null;
  /** undefined: not asked for. */
  barometerPa: number | null | undefined;
  temperatureK: number | null;
  humidity: number | null;
}

/** The air of a place from its numbers in SI; null where one is missing, or with a problem. `at` is where its fields stand. */
export function ambientOf(
  { kind, altitudeM, barometerPa, temperatureK, humidity }: AirNumbers,
  reader: BuildReader | FieldReader<typeof placeFields>,
  at = '',
): Ambient | null {
  if (altitudeM === null || barometerPa === null || temperatureK === null || humidity === null) return null;
  const station = stationPressure({ kind, altitudeM, pressurePa: barometerPa });
  if (!station.ok) {
    const field = station.reason === 'altitude-out-of-range' ? 'altitude' : 'barometer.pressure';
    return reader.fail(at + field, station.message);
  }
  if (station.warning !== undefined) reader.note(`${at}barometer.pressure`, station.warning.message);
  const vapour = vapourMoleFraction(humidity, temperatureK, station.pressurePa);
  if (vapour === null) {
    return reader.fail(
      `${at}relativeHumidity`,
      'Air of this temperature and pressure cannot hold so much water vapour. Check humidity, temperature and pressure.',
    );
  }
  return { pressurePa: station.pressurePa, temperatureK, vapourMoleFraction: vapour };
}

function readCooler(
  build: Build,
  reader: BuildReader,
  ambientK: number | null,
): MatchInput['chargePath']['cooler'] | null {
  const { kind, falling } = build.chargePath.cooler;
  if (kind === 'none') return { kind: 'none' };
  const effectiveness = reader.number('chargePath.cooler.effectiveness');
  const coolantTemperatureK =
    kind === 'water'
      ? reader.number('chargePath.cooler.waterTemperature')
      : sum(ambientK, reader.number('chargePath.cooler.recovery'));
  const second = falling ? readFalling(reader) : undefined;
  if (effectiveness === null || coolantTemperatureK === null || second === null) return null;
  const cooler = { kind: 'cooler', medium: kind, effectiveness, coolantTemperatureK } as const;
  if (second === undefined) return cooler;
  const low = { massFlowKgPerS: second.lowKgPerS, effectiveness };
  const high = { massFlowKgPerS: second.highKgPerS, effectiveness: second.effectiveness };
  return { ...cooler, effectivenessAtFlow: [low, high] };
}

function readFalling(reader: BuildReader) {
  const lowKgPerS = reader.number('chargePath.cooler.atLowFlow');
  const highKgPerS = reader.number('chargePath.cooler.atHighFlow');
  const effectiveness = reader.number('chargePath.cooler.effectivenessAtHighFlow');
  if (lowKgPerS === null || highKgPerS === null || effectiveness === null) return null;
  if (highKgPerS > lowKgPerS) return { lowKgPerS, highKgPerS, effectiveness };
  const message = 'The high flow of the cooler must be above its low flow. Change one of them.';
  return reader.fail('chargePath.cooler.atHighFlow', message);
}

function sum(a: number | null, b: number | null): number | null {
  return a === null || b === null ? null : a + b;
}

/** What is missing of the turbine never stands in the way of the compressor: it becomes a note. */
function readTurbine(build: Build, index: number, reader: BuildReader): TurbineInput | null {
  const turbine = candidateTurbine(build, index);
  if (turbine === null) return null;
  const leftOut = turbine.problems.map(({ path, message }) => ({
    path,
    message: `${message} Until then no turbine is computed.`,
  }));
  reader.notes.push(...leftOut, ...turbine.notes);
  return turbine.input;
}

function readCandidate(build: Build, index: number, reader: BuildReader, fitter: MapFitter) {
  const candidate = build.candidates[index];
  if (candidate === undefined) {
    return reader.fail(`candidates[${index}]`, `The build has no candidate number ${index + 1}.`);
  }
  const card = candidateReader(candidate, index, reader);
  const shaftSpeedRpm = card.optional('shaftSpeedLimit');
  const assumedEfficiency = card.optional('assumedEfficiency');
  const made = candidateSurface(build, index, fitter);
  const surface = made?.surface ?? null;
  if (made === null || surface === null) {
    for (const { part, message } of made?.problems ?? []) card.fail(part, message);
    return null;
  }
  reader.notes.push(...wheelDoubts(build, index, surface));
  return { surface, turboCount: candidate.turboCount, shaftSpeedRpm, assumedEfficiency };
}

/** The air of the day, shown beside its inputs; it needs no engine and no map. SI. */
interface DayAir {
  ambient: Ambient;
  /** Of the moist air at station pressure and ambient temperature. */
  densityKgPerM3: number;
  /** Of the moist air, J/(kg K). */
  gasConstant: number;
  /** Ambient and the heating on the way in; null while the heating cannot be read. */
  compressorInletTemperatureK: number | null;
}

export interface DayAirReading {
  /** null: see `problems`. */
  air: DayAir | null;
  problems: readonly Problem[];
  /** Doubts, such as a barometer value that cannot belong to the altitude. */
  notes: readonly Problem[];
}

/** Station pressure, density and humidity of a build's air. Never throws. */
export function dayAir(build: Build): DayAirReading {
  const reader = buildReader(build);
  const ambient = readAmbient(build, reader);
  const gas = ambient && moistAir(ambient.vapourMoleFraction);
  const { problems, notes } = reader;
  if (ambient === null || gas === null) return { air: null, problems, notes };
  const heatingK = buildReader(build).number('inletPath.heating');
  return {
    air: {
      ambient,
      densityKgPerM3: density(gas, ambient.pressurePa, ambient.temperatureK),
      gasConstant: gas.gasConstant,
      compressorInletTemperatureK: heatingK === null ? null : ambient.temperatureK + heatingK,
    },
    problems,
    notes,
  };
}

/** N / Nc = sqrt(R T01 / (Rref Tref)): from a map's corrected speed to the physical one of the day. null while T01 is not known. */
export function daySpeedFactor(air: DayAir, reference: ReferenceState): number | null {
  if (air.compressorInletTemperatureK === null) return null;
  return Math.sqrt(
    (air.gasConstant * air.compressorInletTemperatureK) / (DRY_AIR_GAS_CONSTANT * reference.temperatureK),
  );
}
