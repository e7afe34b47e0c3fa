import type { CompressorSurface } from '../../src/compressor/types.ts';
import type { FuelKey } from '../../src/engine/index.ts';
import type { GoalKind, MatchInput } from '../../src/match/index.ts';
import type { Curve } from '../../src/numerics/types.ts';
import { analyticSurface } from './analytic-surface.ts';
import { GRAM_PER_KWH } from './example-input.ts';

/** Uniform numbers from a seed, the same on every machine (mulberry32). */
export function generator(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

const FUELS: readonly FuelKey[] = ['petrol', 'e10', 'e85', 'ethanol', 'methanol', 'diesel', 'natural-gas'];
const GOALS: readonly GoalKind[] = ['gauge-boost', 'manifold-pressure', 'brake-power', 'wheel-power'];
const ODD = [0, -1, 1e-9, 1e9, 1e300, -1e300, Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];

/** Surfaces with the faults that a fitted map could have: holes, jumps, nonsense. */
function damaged(surface: CompressorSurface, kind: number): CompressorSurface {
  const outside = { region: 'outside', correctedSpeedRpm: null, efficiency: null, beta: null, extended: true } as const;
  return {
    ...surface,
    at: (W, PR) => {
      const answer = surface.at(W, PR);
      if (kind === 0) return Math.sin(W * 400) > 0.3 ? outside : answer;
      if (kind === 1) return { ...answer, efficiency: W > 0.15 ? answer.efficiency : 0.3 };
      if (kind === 2) return { ...answer, efficiency: Number.NaN };
      return { ...answer, efficiency: answer.efficiency && 0.5 + 0.4 * Math.sin(PR * 60 + W * 300) };
    },
  };
}

/** A compressor of about the right size for an engine that breathes `flow` kg/s, now too small, now too large. */
export function randomSurface(random: () => number, flow: number): CompressorSurface {
  const scale = Math.sqrt((flow * (0.7 + 1.1 * random())) / 0.36);
  const base = analyticSurface(
    {
      topRpm: 150_000 / scale,
      topFlow: 0.36 * scale * scale,
      topRatio: 2.5 + 3 * random(),
      bestEfficiency: 0.6 + 0.22 * random(),
      exducerMm: 62 * scale,
    },
    random() < 0.85,
  );
  return random() < 0.9 ? base : damaged(base, Math.floor(4 * random()));
}

/** An engine, a place and a goal. `oddness` is the chance that any one number is replaced by one that means nothing or too much. */
export function randomInput(random: () => number, oddness: number): MatchInput {
  const between = (low: number, high: number) =>
    random() < oddness ? (ODD[Math.floor(ODD.length * random())] as number) : low + (high - low) * random();
  const pick = <T>(list: readonly T[]) => list[Math.floor(list.length * random())] as T;
  const curve = (low: number, high: number): Curve => {
    const count = 1 + Math.floor(4 * random());
    return Array.from({ length: count }, (_, i) => ({ engineSpeedRpm: 1500 + 1500 * i, value: between(low, high) }));
  };
  const kind = pick(GOALS);
  const displacementM3 = 0.6e-3 + 6.4e-3 * random();
  const watts = (share: number) => share * displacementM3 * 1e8;
  const goalRange: Readonly<Record<GoalKind, readonly [number, number]>> = {
    'gauge-boost': [random() < 0.2 ? -50_000 : 20_000, random() < 0.3 ? 300_000 : 150_000],
    'manifold-pressure': [random() < 0.2 ? 60_000 : 130_000, random() < 0.3 ? 400_000 : 250_000],
    'brake-power': [watts(0.3), watts(1.1)],
    'wheel-power': [watts(0.25), watts(0.95)],
  };
  const cooler = random();
  return {
    engine: {
      displacementM3: between(displacementM3, displacementM3),
      strokesPerCycle: random() < 0.9 ? 4 : 2,
      compressionRatio: between(7, 20),
      injection: random() < 0.5 ? 'port' : 'direct',
      fuel: pick(FUELS),
      volumetricEfficiency: curve(0.5, 1.2),
      lambda: curve(0.7, 1.6),
      bsfcKgPerJ: curve(190 * GRAM_PER_KWH, 600 * GRAM_PER_KWH),
      drivelineLoss: between(0, 0.3),
      fuelSupply:
        random() < 0.5
          ? undefined
          : {
              injectorCount: 4,
              injectorFlowM3PerS: between(3e-6, 3e-5),
              injectorRatedPressurePa: 3e5,
              railPressurePa: between(2e5, 6e5),
              railReference: random() < 0.5 ? 'manifold' : 'ambient',
              dutyLimit: 0.85,
              pumpFlowM3PerS: random() < 0.5 ? undefined : between(3e-5, 1e-4),
            },
    },
    ambient: {
      pressurePa: between(55_000, 105_000),
      temperatureK: between(245, 320),
      vapourMoleFraction: between(0, 0.06),
    },
    inletPath: {
      lossPa: between(0, random() < 0.1 ? 60_000 : 6000),
      atMassFlowKgPerS: between(0.1, 0.5),
      atDensityKgPerM3: between(0.9, 1.3),
      heatingK: between(0, 40),
    },
    chargePath: {
      lossPa: between(0, 25_000),
      atMassFlowKgPerS: between(0.1, 0.5),
      atDensityKgPerM3: between(1.2, 2.6),
      cooler:
        cooler < 0.2
          ? { kind: 'none' }
          : {
              kind: 'cooler',
              effectiveness: between(0, 1),
              effectivenessAtFlow:
                cooler < 0.6
                  ? undefined
                  : [
                      { massFlowKgPerS: between(0.02, 0.1), effectiveness: between(0.5, 1) },
                      { massFlowKgPerS: between(0.15, 0.5), effectiveness: between(0.2, 0.8) },
                    ],
              coolantTemperatureK: between(250, 360),
            },
    },
    goal: { kind, curve: curve(...goalRange[kind]) },
    compressor: randomSurface(random, displacementM3 * 100),
    assumedEfficiency: random() < 0.5 ? undefined : between(0.5, 0.8),
    limits: {
      shaftSpeedRpm: random() < 0.5 ? undefined : between(80_000, 250_000),
      shaftSpeedReserve: random() < 0.5 ? undefined : between(0, 0.1),
      surgeMargin: random() < 0.5 ? undefined : between(0, 0.2),
      chokeMargin: random() < 0.5 ? undefined : between(0, 0.2),
      compressorOutletTemperatureK: random() < 0.5 ? undefined : between(400, 500),
      manifoldPressurePa: random() < 0.5 ? undefined : between(150_000, 300_000),
      brakePowerW: random() < 0.5 ? undefined : between(1e5, 4e5),
    },
    engineSpeedsRpm: Array.from({ length: 5 }, () => between(1000, 8500)),
  };
}
