import { compress, DRY_AIR_GAS_CONSTANT, density, moistAir } from '../../../src/air/index.ts';
import { demoBuild } from '../../../src/build/demo.ts';
import { toMatchInput } from '../../../src/build/index.ts';
import { cooledTemperature, lossCoefficient, pressureBefore } from '../../../src/engine/index.ts';
import { solveOperatingLine } from '../../../src/match/index.ts';
import type { LogChannelKey, MatchInput, OperatingPointSolved, RoadLog } from '../../../src/match/types.ts';
import { normalQuantile } from '../../../src/numerics/index.ts';

/** The demonstration's car with one of its turbos: invented, and marked so. */
export function demoInput(candidate: 0 | 1): MatchInput {
  return toMatchInput(demoBuild(), candidate);
}

/** Normally distributed numbers from uniform ones. */
export function normal(random: () => number): () => number {
  return () => normalQuantile(Math.min(1 - 1e-12, Math.max(1e-12, random())));
}

export type LogColumns = Partial<Record<LogChannelKey, readonly number[]>>;

export function logOf(columns: LogColumns, timeS: readonly number[] | null = null): RoadLog {
  return {
    channels: (Object.keys(columns) as LogChannelKey[]).map((key) => ({
      key,
      unit: '',
      values: Float64Array.from(columns[key] ?? []),
    })),
    timeS: timeS === null ? null : Float64Array.from(timeS),
  };
}

export function steps(from: number, to: number, step: number): number[] {
  return Array.from({ length: Math.round((to - from) / step) + 1 }, (_, i) => from + i * step);
}

/** Solved points of the line at engine speeds, each of which must have one. */
export function solvedAt(input: MatchInput, engineSpeedsRpm: readonly number[]): OperatingPointSolved[] {
  return solveOperatingLine({ ...input, engineSpeedsRpm }).map((point) => {
    if (point.status !== 'ok') throw new Error(`${point.engineSpeedRpm} rpm: ${point.message}`);
    return point;
  });
}

/** What instruments without fault read at points of the line. */
export function readingsOf(points: readonly OperatingPointSolved[]) {
  return {
    engineSpeed: points.map((p) => p.engineSpeedRpm),
    manifoldPressure: points.map((p) => p.manifoldPressurePa),
    shaftSpeed: points.map((p) => p.shaftSpeedRpm),
    chargeTemperature: points.map((p) => p.manifoldTemperatureK),
  };
}

export interface PullShape {
  rateHz: number;
  durationS: number;
  fromRpm: number;
  toRpm: number;
  /** First-order delay of the boost behind the line, s; 0: on the line. */
  spoolS: number;
  volumeM3: number;
}

export const NINE_SECONDS: PullShape = { rateHz: 20, durationS: 9, fromRpm: 2500, toRpm: 6500, spoolS: 0, volumeM3: 0 };

/** A pull as the car drives it. */
export interface MadePull {
  timeS: number[];
  engineSpeed: number[];
  manifoldPressure: number[];
  shaftSpeed: number[];
  chargeTemperature: number[];
  /** Through the compressor. */
  flow: number[];
  /** Of the manifold pressure, Pa/s. */
  pressureRate: number[];
  veAsRun: number[];
}

/**
 * A pull in time, by code of its own on top of the solved line: the pressure follows the line's with a delay, and the compressor passes what
 * the engine draws and what fills the charge path besides. The engine's breathing at that pressure is the line's (with back-pressure).
 */
export function makePull(input: MatchInput, shape: PullShape): MadePull {
  const dt = 1 / shape.rateHz;
  const timeS = steps(0, shape.durationS, dt);
  const engineSpeed = timeS.map((t) => shape.fromRpm + ((shape.toRpm - shape.fromRpm) * t) / shape.durationS);
  const wanted = solvedAt(input, engineSpeed).map((p) => p.manifoldPressurePa);
  const manifoldPressure = [input.ambient.pressurePa * (shape.spoolS > 0 ? 1.12 : 1)];
  if (shape.spoolS > 0) {
    for (let i = 1; i < timeS.length; i++) {
      const p = manifoldPressure[i - 1]!;
      manifoldPressure.push(p + (wanted[i]! - p) * (1 - Math.exp(-dt / shape.spoolS)));
    }
  } else manifoldPressure.splice(0, 1, ...wanted);
  const pressureRate = manifoldPressure.map((_, i) => {
    const [a, b] = [Math.max(0, i - 1), Math.min(timeS.length - 1, i + 1)];
    return (manifoldPressure[b]! - manifoldPressure[a]!) / (timeS[b]! - timeS[a]!);
  });
  const made = timeS.map((_, i) =>
    throughCompressor(input, engineSpeed[i]!, manifoldPressure[i]!, pressureRate[i]!, shape.volumeM3),
  );
  return {
    timeS,
    engineSpeed,
    manifoldPressure,
    pressureRate,
    shaftSpeed: made.map((m) => m.shaftSpeed),
    chargeTemperature: made.map((m) => m.chargeTemperature),
    flow: made.map((m) => m.flow),
    veAsRun: made.map((m) => m.veAsRun),
  };
}

function throughCompressor(
  input: MatchInput,
  engineSpeedRpm: number,
  pressurePa: number,
  ratePaPerS: number,
  volumeM3: number,
) {
  const [line] = solvedAt(
    { ...input, goal: { kind: 'manifold-pressure', curve: [{ engineSpeedRpm, value: pressurePa }] } },
    [engineSpeedRpm],
  );
  const gas = moistAir(input.ambient.vapourMoleFraction)!;
  const { pressurePa: p0, temperatureK: T0 } = input.ambient;
  const T01 = T0 + input.inletPath.heatingK;
  const { reference } = input.compressor;
  const root = Math.sqrt((gas.gasConstant * T01) / (DRY_AIR_GAS_CONSTANT * reference.temperatureK));
  // W T_m / p_m of the engine at this speed: what the line had, whatever pressure it reached.
  const drawn = (line!.airMassFlowKgPerS * line!.manifoldTemperatureK) / line!.manifoldPressurePa;
  let flow = line!.airMassFlowKgPerS;
  let T02 = line!.compressorOutletTemperatureK;
  for (let i = 0; i < 200; i++) {
    const Tm = cooledTemperature(input.chargePath.cooler, flow, T02);
    const next = (drawn * pressurePa) / Tm + (volumeM3 * ratePaPerS) / (gas.gasConstant * Tm);
    const p01 = p0 - (lossCoefficient(input.inletPath) * next * next) / density(gas, p0, T0);
    const p02 = pressureBefore(pressurePa, lossCoefficient(input.chargePath), next, gas.gasConstant, T02);
    const read = input.compressor.at((next * root * reference.pressurePa) / p01, p02 / p01);
    if (read.correctedSpeedRpm === null) throw new Error(`off the map at ${engineSpeedRpm} rpm`);
    const out = compress(gas, T01, p02 / p01, read.efficiency ?? 0.7)!.outletTemperatureK;
    const settled = Math.abs(out - T02) < 1e-9 && Math.abs(next / flow - 1) < 1e-12;
    flow = next;
    T02 = out;
    if (!settled) continue;
    const factor = line!.turbine?.breathingFactor ?? 1;
    return { flow, chargeTemperature: Tm, shaftSpeed: read.correctedSpeedRpm * root, veAsRun: factor };
  }
  throw new Error(`not settled at ${engineSpeedRpm} rpm`);
}
