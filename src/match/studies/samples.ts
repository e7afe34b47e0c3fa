import type { CompressorSurface, FlowAndRatio, SurfaceAt, SurfaceOn } from '../../compressor/types.ts';
import { normalProbability, normalQuantile, SobolPoints } from '../../numerics/index.ts';
import type { Curve } from '../../numerics/types.ts';
import type { TurbineInput } from '../../turbine/types.ts';
import type { MatchInput } from '../types.ts';
import { inputAt } from './places.ts';
import type { ToleranceKey, Tolerances } from './types.ts';

/**
 * 'relative': share of the value. 'share': added to a value that is itself a share (efficiency points). 'temperature-difference': K,
 * added.
 */
export type ToleranceKind = 'relative' | 'share' | 'temperature-difference';

export interface ToleranceRow {
  key: ToleranceKey;
  /** Plain name for labels. */
  label: string;
  /** What is varied, in one clause. */
  meaning: string;
  kind: ToleranceKind;
  /** Half width of the band that holds 19 of 20. */
  usual: number;
  /** The largest that may be entered. */
  largest: number;
}

function row(
  key: ToleranceKey,
  label: string,
  meaning: string,
  kind: ToleranceKind,
  usual: number,
  largest: number,
): ToleranceRow {
  return { key, label, meaning, kind, usual, largest };
}

/**
 * What may be off, and by how much it usually is (common practice, no source). Each is one number for the whole build: a curve or a map is
 * off by the same share everywhere.
 */
export const TOLERANCE_TABLE: readonly ToleranceRow[] = [
  row('volumetricEfficiency', 'Volumetric efficiency', 'the whole curve, as a share', 'relative', 0.03, 0.3),
  row('bsfc', 'Brake specific fuel consumption', 'the whole curve, as a share', 'relative', 0.04, 0.3),
  row('lambda', 'Lambda', 'the whole curve, as a share', 'relative', 0.02, 0.2),
  row('mapFlow', 'Map reading, flow', 'all flows of the map, as a share', 'relative', 0.01, 0.2),
  row('mapPressureRatio', 'Map reading, pressure ratio', 'all pressure ratios, as a share', 'relative', 0.005, 0.1),
  row('mapEfficiency', 'Map efficiency', 'all efficiencies of the map, in points', 'share', 0.015, 0.1),
  row('coolerEffectiveness', 'Cooler effectiveness', 'in points', 'share', 0.05, 0.3),
  row(
    'airTemperature',
    'Air temperature',
    'at the place, and with it air that cools the charge',
    'temperature-difference',
    5,
    40,
  ),
  row('ambientPressure', 'Ambient pressure', 'the weather, or the reading', 'relative', 0.005, 0.1),
  row('inletLoss', 'Inlet path loss', 'as a share of the loss', 'relative', 0.2, 0.9),
  row('chargeLoss', 'Charge path loss', 'as a share of the loss', 'relative', 0.2, 0.9),
  // 0.3 may be entered; the band of an estimated capacity comes on top.
  row('turbineCapacity', 'Turbine capacity', 'all flows of the turbine, as a share', 'relative', 0.03, 0.4),
  row('turbineEfficiency', 'Turbine efficiency', 'everywhere, in points', 'share', 0.03, 0.2),
  row(
    'turbineInletTemperature',
    'Turbine inlet temperature',
    'the whole curve, entered or estimated',
    'temperature-difference',
    30,
    150,
  ),
  row('exhaustLoss', 'Exhaust loss', 'as a share of the loss', 'relative', 0.25, 0.9),
  // What is taken for a hole behind a flap is known to a fifth.
  row('gateFlow', 'Wastegate flow coefficient', 'or its effective area, as a share', 'relative', 0.2, 0.6),
];

/** What is off only where a turbine is known. */
export const TURBINE_TOLERANCES: ReadonlySet<ToleranceKey> = new Set([
  'turbineCapacity',
  'turbineEfficiency',
  'turbineInletTemperature',
  'exhaustLoss',
  'gateFlow',
]);

/** The tolerances that can move anything of an input, in the table's order. */
export function movingTolerances({ turbine }: MatchInput): ToleranceKey[] {
  const hasGate = turbine?.gateAreaM2 !== undefined && turbine.hasGate !== false;
  return TOLERANCE_TABLE.map(({ key }) => key).filter(
    (key) => (turbine !== undefined || !TURBINE_TOLERANCES.has(key)) && (key !== 'gateFlow' || hasGate),
  );
}

export const USUAL_TOLERANCES: Tolerances = Object.fromEntries(
  TOLERANCE_TABLE.map(({ key, usual }) => [key, usual]),
) as Record<ToleranceKey, number>;

/** What is wrong with a set of tolerances, as one plain sentence; null: nothing. */
export function checkTolerances(tolerances: Tolerances): string | null {
  for (const { key, label, largest } of TOLERANCE_TABLE) {
    const value = tolerances[key];
    if (value >= 0 && value <= largest) continue;
    return `The tolerance of ${label.toLowerCase()} must be from 0 to ${largest}: change it.`;
  }
  return null;
}

/** How a map as it was read differs from the machine: the true flow is the read one times `flow`, and so on. */
export interface MapError {
  flow: number;
  pressureRatio: number;
  /** Added to the efficiency. */
  efficiency: number;
}

/**
 * A map with all its flows and pressure ratios scaled and its efficiency shifted: how a reading error shows, without fitting anew. A
 * scaled pressure ratio at or below 1 is off the map.
 */
export function perturbedSurface(base: CompressorSurface, error: MapError): CompressorSurface {
  const { flow, pressureRatio, efficiency } = error;
  const shifted = (value: number | null) => (value === null ? null : value + efficiency);
  const moved = (place: FlowAndRatio | null): FlowAndRatio | null =>
    place && {
      correctedMassFlowKgPerS: place.correctedMassFlowKgPerS * flow,
      pressureRatio: place.pressureRatio * pressureRatio,
    };
  return {
    reference: base.reference,
    hasEfficiency: base.hasEfficiency,
    lowestLineRpm: base.lowestLineRpm,
    highestLineRpm: base.highestLineRpm,
    lowestAnswerRpm: base.lowestAnswerRpm,
    highestAnswerRpm: base.highestAnswerRpm,
    extent: {
      maxFlowKgPerS: base.extent.maxFlowKgPerS * flow,
      maxPressureRatio: base.extent.maxPressureRatio * pressureRatio,
    },
    limits: base.limits,
    wheel: base.wheel,
    at: (W, PR): SurfaceAt => {
      const answer = base.at(W / flow, PR / pressureRatio);
      // Spelled out: a spread reads it some hundred thousand times.
      return {
        region: answer.region,
        correctedSpeedRpm: answer.correctedSpeedRpm,
        efficiency: shifted(answer.efficiency),
        beta: answer.beta,
        extended: answer.extended,
      };
    },
    on: (rpm, beta): SurfaceOn | null => {
      const answer = base.on(rpm, beta);
      if (answer === null) return null;
      return { ...answer, ...moved(answer), efficiency: shifted(answer.efficiency) };
    },
    surgeAt: (rpm) => moved(base.surgeAt(rpm)),
    chokeAt: (rpm) => moved(base.chokeAt(rpm)),
    surgeFlowAt: (PR) => {
      const least = base.surgeFlowAt(PR / pressureRatio);
      return least === null ? null : least * flow;
    },
  };
}

/** An entered tolerance holds 19 of 20: two standard deviations, as JCGM 100 (GUM) 6.2 to 6.3 states an expanded uncertainty. */
const DEVIATIONS_PER_TOLERANCE = 2;

/** One input drawn, with the deviation that each tolerance took: in the kind's unit, 0 for what is exactly known. */
export interface Drawn {
  input: MatchInput;
  deviations: Readonly<Record<ToleranceKey, number>>;
}

const NO_DEVIATIONS = Object.fromEntries(TOLERANCE_TABLE.map(({ key }) => [key, 0])) as Record<ToleranceKey, number>;

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
  readonly #possible: Readonly<Record<ToleranceKey, Bounds>>;
  /** In the order of the keys. */
  readonly #ranges: readonly { from: number; to: number }[];

  constructor(input: MatchInput, tolerances: Tolerances, seed: number) {
    this.#input = input;
    this.#tolerances = tolerances;
    // Every tolerance keeps its own dimension, so that setting one to 0 leaves the draws of the others as they were.
    this.#keys = TOLERANCE_TABLE.map(({ key }) => key);
    this.#points = new SobolPoints(this.#keys.length, seed);
    const limits = possible(input);
    this.#possible = limits;
    this.#ranges = this.#keys.map((key) => {
      const [low, high] = limits[key];
      const sigma = deviationOf(tolerances[key]);
      const at = (limit: number) => (sigma > 0 ? normalProbability(limit / sigma) : 0);
      return { from: at(low), to: sigma > 0 ? at(high) : 1 };
    });
  }

  draw(index: number): Drawn {
    const point = this.#points.point(index);
    const deviations = { ...NO_DEVIATIONS };
    for (let d = 0; d < this.#keys.length; d++) {
      const key = this.#keys[d]!;
      const sigma = deviationOf(this.#tolerances[key]);
      if (sigma === 0) continue;
      const { from, to } = this.#ranges[d]!;
      deviations[key] = sigma * normalQuantile(from + point[d]! * (to - from));
    }
    return { input: perturbed(this.#input, deviations), deviations };
  }

  /**
   * A tolerance alone at its end, as far as it can be.
   * @param side 1 above, -1 below
   * @returns null where it is exactly known, or cannot go that way
   */
  alone(key: ToleranceKey, side: 1 | -1): DrawnAlone | null {
    const [low, high] = this.#possible[key];
    const deviation = Math.min(high, Math.max(low, side * this.#tolerances[key]));
    if (deviation * side <= 0) return null;
    return { input: perturbed(this.#input, { ...NO_DEVIATIONS, [key]: deviation }), deviation };
  }
}

/** One input with a single tolerance off, the others exactly known. */
export interface DrawnAlone {
  input: MatchInput;
  /** In the tolerance's unit. */
  deviation: number;
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
    gateFlow: ABOVE_NOTHING,
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
  const { exhaustLoss, gateAreaM2 } = turbine;
  return {
    ...turbine,
    capacityFactor: (turbine.capacityFactor ?? 1) * (1 + d.turbineCapacity),
    efficiencyShift: (turbine.efficiencyShift ?? 0) + d.turbineEfficiency,
    inletTemperatureShiftK: (turbine.inletTemperatureShiftK ?? 0) + d.turbineInletTemperature,
    exhaustLoss: { ...exhaustLoss, lossPa: exhaustLoss.lossPa * (1 + d.exhaustLoss) },
    ...(gateAreaM2 === undefined ? {} : { gateAreaM2: gateAreaM2 * (1 + d.gateFlow) }),
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
