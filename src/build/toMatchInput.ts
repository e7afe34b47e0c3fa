import { DRY_AIR_GAS_CONSTANT, density, moistAir, stationPressure, vapourMoleFraction } from '../air/index.ts';
import type { ReferenceState } from '../compressor/types.ts';
import type { EngineInput, FuelSupply, LossInput } from '../engine/types.ts';
import type { Ambient, MatchInput, MatchLimits } from '../match/types.ts';
import type { TurbineInput } from '../turbine/types.ts';
import { candidateSurface, wheelDoubts } from './candidateSurface.ts';
import { candidateTurbine } from './candidateTurbine.ts';
import type { BarometerKind, Build } from './document.ts';
import { candidateRules } from './fieldRules.ts';
import { InputReader } from './inputReader.ts';
import { type MapFitter, mapFitter } from './mapFitter.ts';
import type { Problem } from './openFormat.ts';

/** More engine speeds than this are no line but a load on the machine. */
const MOST_ENGINE_SPEEDS = 400;

/** The input in SI, or why there is none; notes are remarks that do not stand in the way. Paths count from the build. */
export type MatchInputResult =
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
  const reader = new InputReader(build);
  const engine = readEngine(build, reader);
  const ambient = readAmbient(build, reader);
  const inlet = readLoss('inletPath', reader);
  const heatingK = reader.number('inletPath.heating');
  const charge = readLoss('chargePath', reader);
  const cooler = readCooler(build, reader, ambient?.temperatureK ?? null);
  const goalCurve = reader.curve(`goal.curves.${build.goal.kind}`);
  const engineSpeedsRpm = readEngineSpeeds(reader);
  const turbo = readCandidate(build, candidateIndex, reader, fitter);
  const turbine = readTurbine(build, candidateIndex, reader);
  const limits = readLimits(reader);
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
    turbo === null
  ) {
    return { ok: false, problems, notes };
  }
  const shaftSpeedRpm = turbo.shaftSpeedRpm ?? turbo.surface.limits.shaftSpeedRpm;
  const input: MatchInput = {
    engine,
    ambient,
    inletPath: { ...inlet, heatingK },
    chargePath: { ...charge, cooler },
    goal: { kind: build.goal.kind, curve: goalCurve },
    compressor: turbo.surface,
    ...(turbo.assumedEfficiency === undefined ? {} : { assumedEfficiency: turbo.assumedEfficiency }),
    limits: shaftSpeedRpm === undefined ? limits : { ...limits, shaftSpeedRpm },
    ...(turbine === null ? {} : { turbine }),
    engineSpeedsRpm,
  };
  return { ok: true, input, notes };
}

function readEngine(build: Build, reader: InputReader): EngineInput | null {
  const { strokesPerCycle, injection, fuel } = build.engine;
  const displacementM3 = reader.number('engine.displacement');
  const compressionRatio = reader.number('engine.compressionRatio');
  const volumetricEfficiency = reader.curve('engine.volumetricEfficiency');
  const lambda = reader.curve('engine.lambda');
  const bsfcKgPerJ = reader.curve('engine.bsfc');
  const drivelineLoss = reader.number('engine.drivelineLoss');
  const fuelSupply = build.fuelSupply.checked ? readFuelSupply(build, reader) : undefined;
  if (
    displacementM3 === null ||
    compressionRatio === null ||
    volumetricEfficiency === null ||
    lambda === null ||
    bsfcKgPerJ === null ||
    drivelineLoss === null ||
    fuelSupply === null
  ) {
    return null;
  }
  return {
    displacementM3,
    strokesPerCycle,
    compressionRatio,
    injection,
    fuel,
    volumetricEfficiency,
    lambda,
    bsfcKgPerJ,
    drivelineLoss,
    ...(fuelSupply === undefined ? {} : { fuelSupply }),
  };
}

function readFuelSupply(build: Build, reader: InputReader): FuelSupply | null {
  const injectorCount = reader.number('fuelSupply.injectorCount');
  const injectorFlowM3PerS = reader.number('fuelSupply.injectorFlow');
  const injectorRatedPressurePa = reader.number('fuelSupply.injectorRatedPressure');
  const railPressurePa = reader.number('fuelSupply.railPressure');
  const dutyLimit = reader.number('fuelSupply.dutyLimit');
  const pumpFlowM3PerS = reader.optional('fuelSupply.pumpFlow');
  if (
    injectorCount === null ||
    injectorFlowM3PerS === null ||
    injectorRatedPressurePa === null ||
    railPressurePa === null ||
    dutyLimit === null
  ) {
    return null;
  }
  const { railReference } = build.fuelSupply;
  return {
    injectorCount,
    injectorFlowM3PerS,
    injectorRatedPressurePa,
    railPressurePa,
    railReference,
    dutyLimit,
    ...(pumpFlowM3PerS === undefined ? {} : { pumpFlowM3PerS }),
  };
}

export function readAmbient(build: Build, reader: InputReader): Ambient | null {
  const { kind } = build.air.barometer;
  const altitudeM = reader.number('air.altitude');
  const barometerPa = kind === 'standard' ? undefined : reader.number('air.barometer.pressure');
  const temperatureK = reader.number('air.temperature');
  const humidity = reader.number('air.relativeHumidity');
  if (altitudeM === null || barometerPa === null || temperatureK === null || humidity === null) return null;
  return ambientOf({ kind, altitudeM, barometerPa, temperatureK, humidity }, reader, AIR_PATHS);
}

const AIR_PATHS = { altitude: 'air.altitude', pressure: 'air.barometer.pressure', humidity: 'air.relativeHumidity' };

interface AirNumbers {
  kind: BarometerKind;
  altitudeM: number;
  barometerPa: number | undefined;
  temperatureK: number;
  humidity: number;
}

/** The air of a place from its numbers in SI; null with a problem under one of the paths. */
export function ambientOf(air: AirNumbers, reader: InputReader, paths: typeof AIR_PATHS): Ambient | null {
  const { kind, altitudeM, temperatureK } = air;
  const station = stationPressure({ kind, altitudeM, pressurePa: air.barometerPa });
  if (!station.ok) {
    const path = station.reason === 'altitude-out-of-range' ? paths.altitude : paths.pressure;
    reader.problems.push({ path, message: station.message });
    return null;
  }
  if (station.warning !== undefined) {
    reader.notes.push({ path: paths.pressure, message: station.warning.message });
  }
  const vapour = vapourMoleFraction(air.humidity, temperatureK, station.pressurePa);
  if (vapour === null) {
    const message =
      'Air of this temperature and pressure cannot hold so much water vapour. Check humidity, temperature and pressure.';
    reader.problems.push({ path: paths.humidity, message });
    return null;
  }
  return { pressurePa: station.pressurePa, temperatureK, vapourMoleFraction: vapour };
}

function readLoss(part: 'inletPath' | 'chargePath', reader: InputReader): LossInput | null {
  const lossPa = reader.number(`${part}.loss`);
  const atMassFlowKgPerS = reader.number(`${part}.atFlow`);
  const atDensityKgPerM3 = reader.number(`${part}.atDensity`);
  if (lossPa === null || atMassFlowKgPerS === null || atDensityKgPerM3 === null) return null;
  return { lossPa, atMassFlowKgPerS, atDensityKgPerM3 };
}

function readCooler(
  build: Build,
  reader: InputReader,
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
  if (second === undefined) return { kind: 'cooler', medium: kind, effectiveness, coolantTemperatureK };
  const low = { massFlowKgPerS: second.lowKgPerS, effectiveness };
  const high = { massFlowKgPerS: second.highKgPerS, effectiveness: second.effectiveness };
  return { kind: 'cooler', medium: kind, effectiveness, effectivenessAtFlow: [low, high], coolantTemperatureK };
}

function readFalling(reader: InputReader) {
  const lowKgPerS = reader.number('chargePath.cooler.atLowFlow');
  const highKgPerS = reader.number('chargePath.cooler.atHighFlow');
  const effectiveness = reader.number('chargePath.cooler.effectivenessAtHighFlow');
  if (lowKgPerS === null || highKgPerS === null || effectiveness === null) return null;
  if (highKgPerS > lowKgPerS) return { lowKgPerS, highKgPerS, effectiveness };
  const message = 'The high flow of the cooler must be above its low flow. Change one of them.';
  reader.problems.push({ path: 'chargePath.cooler.atHighFlow', message });
  return null;
}

function sum(a: number | null, b: number | null): number | null {
  return a === null || b === null ? null : a + b;
}

function readEngineSpeeds(reader: InputReader): number[] | null {
  const from = reader.number('engineSpeeds.from');
  const to = reader.number('engineSpeeds.to');
  const step = reader.number('engineSpeeds.step');
  if (from === null || to === null || step === null) return null;
  const refuse = (path: string, message: string) => {
    reader.problems.push({ path, message });
    return null;
  };
  if (to < from) return refuse('engineSpeeds.to', 'The highest engine speed is below the lowest. Change one of them.');
  if ((to - from) / step > MOST_ENGINE_SPEEDS) {
    return refuse(
      'engineSpeeds.step',
      `This step gives more than ${MOST_ENGINE_SPEEDS} engine speeds. Enter a larger one.`,
    );
  }
  const speeds: number[] = [];
  // Counted, not added up: 0.1 ten times is not 1. The highest speed always has a point of its own.
  for (let i = 0; from + i * step < to - 1e-6 * step; i += 1) speeds.push(from + i * step);
  return [...speeds, to];
}

function readLimits(reader: InputReader): MatchLimits {
  const read = {
    shaftSpeedReserve: reader.optional('limits.shaftSpeedReserve'),
    surgeMargin: reader.optional('limits.surgeMargin'),
    chokeMargin: reader.optional('limits.chokeMargin'),
    compressorOutletTemperatureK: reader.optional('limits.compressorOutletTemperature'),
    manifoldPressurePa: reader.optional('limits.manifoldPressure'),
    brakePowerW: reader.optional('limits.brakePower'),
    backPressureRatio: reader.optional('limits.backPressureRatio'),
    turbineInletTemperatureK: reader.optional('limits.turbineInletTemperature'),
  };
  return Object.fromEntries(Object.entries(read).filter(([, value]) => value !== undefined));
}

/** What is missing of the turbine never stands in the way of the compressor: it becomes a note. */
function readTurbine(build: Build, index: number, reader: InputReader): TurbineInput | null {
  const turbine = candidateTurbine(build, index);
  if (turbine === null) return null;
  const leftOut = turbine.problems.map(({ path, message }) => ({
    path,
    message: `${message} Until then no turbine is computed.`,
  }));
  reader.notes.push(...leftOut, ...turbine.notes);
  return turbine.input;
}

function readCandidate(build: Build, index: number, reader: InputReader, fitter: MapFitter) {
  const candidate = build.candidates[index];
  const path = `candidates[${index}]`;
  if (candidate === undefined) {
    reader.problems.push({ path, message: `The build has no candidate number ${index + 1}.` });
    return null;
  }
  const number = (key: keyof typeof candidateRules, name: string) =>
    reader.typed(candidate[key], candidateRules[key], `${path}.${key}`, name);
  const shaftSpeedRpm = number('shaftSpeedLimit', 'shaft speed limit');
  const assumedEfficiency = number('assumedEfficiency', 'assumed efficiency');
  const made = candidateSurface(build, index, fitter);
  const surface = made?.surface ?? null;
  if (made === null || surface === null) {
    reader.problems.push(...(made?.problems ?? []).map(({ part, message }) => ({ path: `${path}.${part}`, message })));
    return null;
  }
  reader.notes.push(...wheelDoubts(build, index, surface));
  if (shaftSpeedRpm === null || assumedEfficiency === null) return null;
  return { surface, shaftSpeedRpm, assumedEfficiency };
}

/** The air of the day, shown beside its inputs; it needs no engine and no map. SI. */
export interface DayAir {
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
  const reader = new InputReader(build);
  const ambient = readAmbient(build, reader);
  const gas = ambient && moistAir(ambient.vapourMoleFraction);
  const { problems, notes } = reader;
  if (ambient === null || gas === null) return { air: null, problems, notes };
  const heatingK = new InputReader(build).number('inletPath.heating');
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
