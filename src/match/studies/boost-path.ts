import { mapMargins } from '../../compressor/index.ts';
import { brakePower, fuelMassFlow } from '../../engine/index.ts';
import {
  type Driven,
  type DrivenHint,
  type DrivenTolerance,
  hintFrom,
  type LikePoint,
  noHint,
  solveDriven,
} from '../driven-loop.ts';
import type { LineModel } from '../line-model.ts';
import type { MapEdges } from '../name-reason.ts';
import { solveAtPressure } from '../operating-line.ts';
import { coldGuesses, solveWarm, type WarmSolution } from '../solve-warm.ts';
import type { SpeedModel } from '../speed-model.ts';
import type { OperatingPoint } from '../types.ts';
import { type DrivenLimits, type HeldLimits, leastSlack, pointSlacks, type Slacks, slacksOf } from './limit-slacks.ts';

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
    return { pressurePa, slacks: this.#slacks(found.solution, found.driven) };
  }

  /** The same by the whole solve of the operating line. */
  exact(pressurePa: number): PathSample {
    const point = this.point(pressurePa);
    return { pressurePa, slacks: this.slacks(point) };
  }

  /**
   * The operating point exactly as `solveOperatingLine` gives it for this manifold pressure; where the exhaust does not drive it, what it
   * would be if it did, its gate share below 0.
   */
  point(pressurePa: number): OperatingPoint {
    return solveAtPressure(this.#line, this.#at(pressurePa), this.#edges);
  }

  slacks(point: OperatingPoint): Slacks | null {
    return point.status === 'ok' ? pointSlacks(point, this.#held) : null;
  }

  #near(pressurePa: number): { solution: WarmSolution; driven: Driven | null } | null {
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

  #from(speed: SpeedModel, guessK: number): { solution: WarmSolution; driven: Driven | null } | null {
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

  #slacks(solution: WarmSolution, driven: Driven | null): Slacks {
    const { state, surface, correctedSpeedRpm } = solution;
    const line = this.#line;
    const fuel = fuelMassFlow(
      state.airMassFlowKgPerS * line.dryShare,
      this.#speed.lambda,
      line.fuel.stoichiometricAirFuelRatio,
    );
    const margins = mapMargins(
      line.input.compressor,
      correctedSpeedRpm,
      state.correctedMassFlowKgPerS,
      state.pressureRatio,
    );
    return slacksOf(
      {
        region: surface.region,
        correctedSpeedRpm,
        shaftSpeedRpm: correctedSpeedRpm * line.speedFactor,
        surgeMargin: margins.surgeMargin,
        chokeMargin: margins.chokeMargin,
        compressorOutletTemperatureK: state.outletTemperatureK,
        manifoldPressurePa: state.manifoldPressurePa,
        brakePowerW: brakePower(fuel, this.#speed.bsfcKgPerJ),
      },
      this.#drivenLimits(driven),
      this.#held,
    );
  }

  #drivenLimits(driven: Driven | null): DrivenLimits | null {
    const { exhaust } = this.#speed;
    if (driven === null || exhaust === null) return null;
    const { wastegateShare, backPressureRatio } = driven;
    return { wastegateShare, reachedShare: 1, backPressureRatio, inletTemperatureK: exhaust.temperatureK };
  }
}
