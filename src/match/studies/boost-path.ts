import { mapMargins } from '../../compressor/index.ts';
import type { CompressorSurface } from '../../compressor/types.ts';
import { brakePower, fuelMassFlow, torque } from '../../engine/index.ts';
import { findRoot } from '../../numerics/index.ts';
import {
  type Driven,
  type DrivenHint,
  type DrivenTolerance,
  hintFrom,
  type LikePoint,
  noHint,
  solveDriven,
} from '../driven-loop.ts';
import { gateOpening } from '../gate-open.ts';
import { type HeldLimits, leastSlack, pointSlacks, type Slacks, slacksOf } from '../held-limits.ts';
import type { DrivenLimits } from '../limits.ts';
import {
  gasState,
  type LineModel,
  LOWEST_SHARE,
  outletTemperature,
  type SpeedModel,
  unboostedPressure,
} from '../line-model.ts';
import { type MapEdges, solveAtPressure } from '../operating-line.ts';
import { coldGuesses, type Reading, solveWarm } from '../solve-speed.ts';
import type { OperatingPoint } from '../types.ts';

/** The largest pressure ratio and corrected flow that a surface may answer for, with a little room. */
export interface MapReach {
  pressureRatio: number;
  correctedMassFlowKgPerS: number;
}

const SAMPLES = 12;

export function mapReach(surface: CompressorSurface): MapReach {
  // A surface may have no answer on its highest line by a last digit: the range then would end where the map begins.
  let pressureRatio = Math.max(1.05, surface.extent.maxPressureRatio);
  let correctedMassFlowKgPerS = surface.extent.maxFlowKgPerS;
  const top = surface.highestAnswerRpm;
  for (let i = 0; i <= SAMPLES; i++) {
    pressureRatio = Math.max(pressureRatio, surface.on(top, i / SAMPLES)?.pressureRatio ?? 1);
    const rpm = surface.lowestAnswerRpm + ((top - surface.lowestAnswerRpm) * i) / SAMPLES;
    correctedMassFlowKgPerS = Math.max(correctedMassFlowKgPerS, surface.chokeAt(rpm)?.correctedMassFlowKgPerS ?? 0);
  }
  return { pressureRatio: pressureRatio * 1.02, correctedMassFlowKgPerS: correctedMassFlowKgPerS * 1.07 };
}

/**
 * Manifold pressures between which the compressor works at one engine speed: from pressure ratio 1 to beyond the end of the map. Only
 * where to look: what holds there is solved.
 */
export function pressureRange(line: LineModel, speed: SpeedModel, reach: MapReach): { lowPa: number; topPa: number } {
  const ambientPa = line.input.ambient.pressurePa;
  const at = (pressurePa: number, temperatureK: number) =>
    gasState(line, { ...speed, goal: { kind: 'pressure', manifoldPressurePa: pressurePa } }, temperatureK);
  const rough = { xTolerance: 0.002 * ambientPa };
  const lowPa = unboostedPressure(line, speed, ambientPa) ?? LOWEST_SHARE * ambientPa;
  const hot = outletTemperature(line, reach.pressureRatio, 0.6);
  const room = (p: number) => {
    const state = at(p, hot);
    const flowRoom = reach.correctedMassFlowKgPerS / state.correctedMassFlowKgPerS;
    return Math.log(Math.min(reach.pressureRatio / state.pressureRatio, flowRoom));
  };
  const top = findRoot(room, lowPa, 2 * reach.pressureRatio * ambientPa, rough);
  const topPa = top.ok ? top.value : reach.pressureRatio * ambientPa;
  return { lowPa, topPa: Math.max(topPa * 1.02, lowPa * 1.05) };
}

/** A manifold pressure tried; no slacks where there is no operating point. */
export interface PathSample {
  pressurePa: number;
  slacks: Slacks | null;
}

export function holds(sample: PathSample): boolean {
  return sample.slacks !== null && leastSlack(sample.slacks) >= 0;
}

/**
 * One engine speed at one place with the manifold pressure left open: the line on the map along which a boost controller moves the
 * operating point.
 */
export class BoostPath {
  readonly #line: LineModel;
  readonly #speed: SpeedModel;
  readonly #held: HeldLimits;
  readonly #edges: () => MapEdges;
  readonly #tolerance: DrivenTolerance;
  #hint: DrivenHint = noHint();
  /** The two last solved pressures and outlet temperatures: neighbours to extrapolate from. */
  #last: { pressurePa: number; temperatureK: number } | null = null;
  #beforeLast: { pressurePa: number; temperatureK: number } | null = null;

  /** @param tolerance of the quick solver, relative to the temperature rise */
  constructor(line: LineModel, speed: SpeedModel, held: HeldLimits, edges: () => MapEdges, tolerance = 3e-9) {
    // Back-pressure moves the air flow by a tenth of its own share: thirty times coarser is as good.
    this.#tolerance = { temperature: tolerance, backPressure: Math.min(1e-6, 30 * tolerance), nearOnly: true };
    this.#line = line;
    this.#speed = speed;
    this.#held = held;
    this.#edges = edges;
  }

  /** Starts the next search from an outlet temperature that a like path had at a pressure. */
  startFrom(pressurePa: number, temperatureK: number, like?: LikePoint): void {
    this.#last = { pressurePa, temperatureK };
    this.#beforeLast = null;
    const { exhaust } = this.#speed;
    if (like !== undefined && exhaust !== null) this.#hint = hintFrom(exhaust, like, temperatureK);
  }

  #at(manifoldPressurePa: number): SpeedModel {
    return { ...this.#speed, goal: { kind: 'pressure', manifoldPressurePa } };
  }

  /** Slacks at a pressure, by the quick solver from the neighbours that were solved before. */
  quick(pressurePa: number): PathSample {
    const found = this.#near(pressurePa);
    if (found === null) return { pressurePa, slacks: null };
    this.#beforeLast = this.#last;
    this.#last = { pressurePa, temperatureK: found.solution.state.outletTemperatureK };
    return { pressurePa, slacks: slacksNear(this.#line, this.#speed, this.#held, found.solution, found.driven) };
  }

  /** The same by the whole solve of the operating line. */
  exact(pressurePa: number): PathSample {
    const point = this.point(pressurePa);
    return { pressurePa, slacks: this.slacks(point) };
  }

  /**
   * The operating point exactly as `solveOperatingLine` gives it for this manifold pressure; where the exhaust does not drive it, what it
   * would be if it did, its wastegate share below 0.
   */
  point(pressurePa: number): OperatingPoint {
    return solveAtPressure(this.#line, this.#at(pressurePa), this.#edges);
  }

  slacks(point: OperatingPoint): Slacks | null {
    return point.status === 'ok' ? pointSlacks(point, this.#held) : null;
  }

  #near(pressurePa: number): { solution: Reading; driven: Driven | null } | null {
    const speed = this.#at(pressurePa);
    const near = this.#extrapolated(pressurePa);
    const found = near === null ? null : this.#from(speed, near);
    if (found !== null) return found;
    for (const guessK of coldGuesses(this.#line, speed)) {
      const cold = this.#from(speed, guessK);
      if (cold !== null) return cold;
    }
    return null;
  }

  #from(speed: SpeedModel, guessK: number): { solution: Reading; driven: Driven | null } | null {
    if (speed.exhaust === null) {
      const solution = solveWarm(this.#line, speed, guessK, this.#tolerance.temperature);
      return solution === null ? null : { solution, driven: null };
    }
    this.#hint.outletTemperatureK = guessK;
    const driven = solveDriven(this.#line, speed, speed.exhaust, 'gate', this.#hint, this.#tolerance);
    return driven.ok ? { solution: driven.solution, driven } : null;
  }

  #extrapolated(pressurePa: number): number | null {
    const last = this.#last;
    const before = this.#beforeLast;
    if (last === null) return null;
    const base = this.#line.inletTemperatureK;
    // One neighbour: the rise is nearly linear in the logarithm of pressure; a plain share does.
    if (before === null || before.pressurePa === last.pressurePa) {
      return base + (last.temperatureK - base) * (1 + 1.2 * (pressurePa / last.pressurePa - 1));
    }
    const slope = (last.temperatureK - before.temperatureK) / (last.pressurePa - before.pressurePa);
    return last.temperatureK + slope * (pressurePa - last.pressurePa);
  }
}

/** How far each limit is from a balance that the quick solvers found. */
export function slacksNear(
  line: LineModel,
  speed: SpeedModel,
  held: HeldLimits,
  { state, surface, efficiency, correctedSpeedRpm }: Reading,
  driven: Driven | null,
): Slacks {
  const airMassFlowKgPerS = state.airMassFlowKgPerS * line.turbos;
  const dryAir = airMassFlowKgPerS * line.dryShare;
  const fuel = fuelMassFlow(dryAir, speed.lambda, line.fuel.stoichiometricAirFuelRatio);
  const { surgeMargin, chokeMargin } = mapMargins(
    line.input.compressor,
    correctedSpeedRpm,
    state.correctedMassFlowKgPerS,
    state.pressureRatio,
  );
  const brakePowerW = brakePower(fuel, speed.bsfcKgPerJ);
  return slacksOf(
    {
      engineSpeedRpm: speed.engineSpeedRpm,
      region: surface.region,
      airMassFlowKgPerS,
      correctedMassFlowKgPerS: state.correctedMassFlowKgPerS,
      pressureRatio: state.pressureRatio,
      efficiency,
      correctedSpeedRpm,
      shaftSpeedRpm: correctedSpeedRpm * line.speedFactor,
      surgeMargin,
      chokeMargin,
      compressorOutletTemperatureK: state.outletTemperatureK,
      compressorOutletPressurePa: state.outletPressurePa,
      manifoldTemperatureK: state.manifoldTemperatureK,
      manifoldPressurePa: state.manifoldPressurePa,
      brakePowerW,
      torqueNm: torque(brakePowerW, speed.engineSpeedRpm),
    },
    drivenLimits(speed, driven),
    held,
  );
}

function drivenLimits({ exhaust }: SpeedModel, driven: Driven | null): DrivenLimits | null {
  if (driven === null || exhaust === null) return null;
  const { wastegateShare, backPressureRatio } = driven;
  return {
    wastegateShare,
    reachedShare: 1,
    gateOpening: gateOpening(exhaust, driven),
    backPressureRatio,
    inletTemperatureK: exhaust.temperatureK,
  };
}
