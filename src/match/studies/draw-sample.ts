import { normalProbability, normalQuantile, SobolPoints } from '../../numerics/index.ts';
import type { Curve } from '../../numerics/types.ts';
import type { TurbineInput } from '../../turbine/types.ts';
import type { MatchInput } from '../types.ts';
import { perturbedSurface } from './perturbed-surface.ts';
import { inputAt } from './places.ts';
import { TOLERANCE_TABLE } from './tolerances.ts';
import type { ToleranceKey, Tolerances } from './types.ts';

/** An entered tolerance holds 19 of 20: two standard deviations, as JCGM 100 (GUM) 6.2 to 6.3 states an expanded uncertainty. */
const DEVIATIONS_PER_TOLERANCE = 2;

/** One input drawn, with the deviation that each tolerance took: in the kind's unit, 0 for what is exactly known. */
export interface Drawn {
  input: MatchInput;
  deviations: Readonly<Record<ToleranceKey, number>>;
}

/** Standard deviation that a tolerance stands for, before its distribution is cut at what is possible. */
export function deviationOf(tolerance: number): number {
  return tolerance / DEVIATIONS_PER_TOLERANCE;
}

/**
 * Draws whole inputs: every tolerance independent and normally distributed, by low-discrepancy points. A deviation that cannot be (a
 * cooler above 1, a negative loss) is kept out by cutting the distribution there, not by moving the value.
 */
export class SampleDrawer {
  readonly #input: MatchInput;
  readonly #keys: readonly ToleranceKey[];
  readonly #tolerances: Tolerances;
  readonly #points: SobolPoints;
  readonly #ranges: ReadonlyMap<ToleranceKey, { from: number; to: number }>;

  constructor(input: MatchInput, tolerances: Tolerances, seed: number) {
    this.#input = input;
    this.#tolerances = tolerances;
    // Every tolerance keeps its own dimension, so that setting one to 0 leaves the draws of the others as they were.
    this.#keys = TOLERANCE_TABLE.map(({ key }) => key);
    this.#points = new SobolPoints(this.#keys.length, seed);
    const limits = possible(input);
    this.#ranges = new Map(
      this.#keys.map((key) => {
        const [low, high] = limits[key];
        const sigma = deviationOf(tolerances[key]);
        const at = (limit: number) => (sigma > 0 ? normalProbability(limit / sigma) : 0);
        return [key, { from: at(low), to: sigma > 0 ? at(high) : 1 }];
      }),
    );
  }

  draw(index: number): Drawn {
    const point = this.#points.point(index);
    const deviations = Object.fromEntries(
      this.#keys.map((key, d) => {
        const sigma = deviationOf(this.#tolerances[key]);
        if (sigma === 0) return [key, 0];
        const { from, to } = this.#ranges.get(key)!;
        return [key, sigma * normalQuantile(from + point[d]! * (to - from))];
      }),
    ) as Record<ToleranceKey, number>;
    return { input: perturbed(this.#input, deviations), deviations };
  }
}

type Bounds = readonly [low: number, high: number];
const FREE: Bounds = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
/** A share of a value that stays positive. */
const ABOVE_NOTHING: Bounds = [-0.95, Number.POSITIVE_INFINITY];

function possible(input: MatchInput): Readonly<Record<ToleranceKey, Bounds>> {
  const { cooler } = input.chargePath;
  const effectivenesses =
    cooler.kind === 'none'
      ? [0.5]
      : (cooler.effectivenessAtFlow?.map((p) => p.effectiveness) ?? [cooler.effectiveness]);
  return {
    volumetricEfficiency: ABOVE_NOTHING,
    bsfc: ABOVE_NOTHING,
    lambda: ABOVE_NOTHING,
    mapFlow: ABOVE_NOTHING,
    mapPressureRatio: ABOVE_NOTHING,
    mapEfficiency: FREE,
    coolerEffectiveness: [-Math.min(...effectivenesses), 1 - Math.max(...effectivenesses)],
    airTemperature: FREE,
    ambientPressure: ABOVE_NOTHING,
    inletLoss: [-1, Number.POSITIVE_INFINITY],
    chargeLoss: [-1, Number.POSITIVE_INFINITY],
    turbineCapacity: ABOVE_NOTHING,
    turbineEfficiency: turbineEfficiencyRoom(input),
    turbineInletTemperature: FREE,
    exhaustLoss: [-1, Number.POSITIVE_INFINITY],
  };
}

/** What keeps every efficiency entered for the turbine above nothing and at most 1. */
function turbineEfficiencyRoom({ turbine }: MatchInput): Bounds {
  if (turbine === undefined) return FREE;
  const entered = enteredEfficiencies(turbine).map((value) => value + (turbine.efficiencyShift ?? 0));
  return [Math.min(0, 0.05 - Math.min(...entered)), Math.max(0, 1 - Math.max(...entered))];
}

function enteredEfficiencies({ efficiency, capacity }: TurbineInput): number[] {
  if (efficiency.kind === 'number') return [efficiency.value];
  if (efficiency.kind === 'speed-ratio') return [efficiency.best];
  return capacity.lines.flatMap(({ points }) => points.flatMap((point) => point.efficiency ?? []));
}

function scaled(curve: Curve, factor: number): Curve {
  return factor === 1 ? curve : curve.map((point) => ({ ...point, value: point.value * factor }));
}

function perturbed(nominal: MatchInput, d: Readonly<Record<ToleranceKey, number>>): MatchInput {
  const { ambient } = nominal;
  const input = inputAt(nominal, {
    ...ambient,
    pressurePa: ambient.pressurePa * (1 + d.ambientPressure),
    temperatureK: ambient.temperatureK + d.airTemperature,
  });
  const { engine, inletPath, chargePath } = input;
  return {
    ...input,
    engine: {
      ...engine,
      volumetricEfficiency: scaled(engine.volumetricEfficiency, 1 + d.volumetricEfficiency),
      lambda: scaled(engine.lambda, 1 + d.lambda),
      bsfcKgPerJ: scaled(engine.bsfcKgPerJ, 1 + d.bsfc),
    },
    inletPath: { ...inletPath, lossPa: inletPath.lossPa * (1 + d.inletLoss) },
    chargePath: {
      ...chargePath,
      lossPa: chargePath.lossPa * (1 + d.chargeLoss),
      cooler: shiftedCooler(chargePath.cooler, d.coolerEffectiveness),
    },
    assumedEfficiency: input.assumedEfficiency === undefined ? undefined : input.assumedEfficiency + d.mapEfficiency,
    turbine: input.turbine === undefined ? undefined : perturbedTurbine(input.turbine, d),
    compressor: perturbedSurface(input.compressor, {
      flow: 1 + d.mapFlow,
      pressureRatio: 1 + d.mapPressureRatio,
      efficiency: d.mapEfficiency,
    }),
  };
}

function perturbedTurbine(turbine: TurbineInput, d: Readonly<Record<ToleranceKey, number>>): TurbineInput {
  const { exhaustLoss } = turbine;
  return {
    ...turbine,
    capacityFactor: (turbine.capacityFactor ?? 1) * (1 + d.turbineCapacity),
    efficiencyShift: (turbine.efficiencyShift ?? 0) + d.turbineEfficiency,
    inletTemperatureShiftK: (turbine.inletTemperatureShiftK ?? 0) + d.turbineInletTemperature,
    exhaustLoss: { ...exhaustLoss, lossPa: exhaustLoss.lossPa * (1 + d.exhaustLoss) },
  };
}

function shiftedCooler(cooler: MatchInput['chargePath']['cooler'], shift: number): MatchInput['chargePath']['cooler'] {
  if (cooler.kind === 'none') return cooler;
  const points = cooler.effectivenessAtFlow?.map((p) => ({ ...p, effectiveness: p.effectiveness + shift }));
  return {
    ...cooler,
    effectiveness: cooler.effectiveness + shift,
    ...(points === undefined ? {} : { effectivenessAtFlow: points }),
  };
}
