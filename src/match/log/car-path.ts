import { DRY_AIR_GAS_CONSTANT } from '../../air/index.ts';
import { cooledTemperature, pressureBefore, pressureLoss } from '../../engine/index.ts';
import { breathingFactor, type ExhaustModel, turbineOutletPressure } from '../exhaust-model.ts';
import {
  HOTTEST_OUTLET_K,
  type LineModel,
  lineModel,
  outletTemperature,
  type SpeedModel,
  speedModel,
} from '../line-model.ts';
import { inputAt } from '../studies/places.ts';
import { expansionForPower } from '../turbine-expansion.ts';
import type { Ambient, MatchInput } from '../types.ts';
import type { NuisanceKey } from './result-types.ts';
import { NUISANCES } from './result-types.ts';

/** No reading at all: NaN. */
export const NO_READINGS = {
  engineSpeedRpm: Number.NaN,
  manifoldPressurePa: Number.NaN,
  /** Of the manifold pressure, Pa/s. */
  pressureRatePaPerS: Number.NaN,
  shaftSpeedRpm: Number.NaN,
  ambientPressurePa: Number.NaN,
  ambientTemperatureK: Number.NaN,
  inletTemperatureK: Number.NaN,
  inletPressurePa: Number.NaN,
  outletPressurePa: Number.NaN,
  chargeTemperatureK: Number.NaN,
  turbineInletPressurePa: Number.NaN,
};
/** What a row's instruments say, as far as the path needs it; NaN where there is none. */
export type RowReadings = Readonly<typeof NO_READINGS>;

/** How what is entered or read differs from the truth, by key; left out: not at all. */
export type Bias = Readonly<Partial<Record<NuisanceKey, number>>>;

/** The path at a row; with several turbos every flow is that of one of them and its share of the engine. */
export interface PathState {
  /** Through the compressor. */
  airMassFlowKgPerS: number;
  engineFlowKgPerS: number;
  correctedMassFlowKgPerS: number;
  pressureRatio: number;
  shaftSpeedRpm: number;
  inletPressurePa: number;
  inletTemperatureK: number;
  outletPressurePa: number;
  outletTemperatureK: number;
  manifoldTemperatureK: number;
  /** By the cooler's effectiveness, whether or not the log has a charge temperature. */
  cooledTemperatureK: number;
  /** By the inlet path's loss, whether or not the log has that pressure. */
  inletPressureByLossPa: number;
  outletPressureByLossPa: number;
  backPressureRatio: number | null;
  /** 1 without a turbine. */
  breathingFactor: number;
  /** Volumetric efficiency of the row over the entered one, both at the back-pressure at which the entered one was measured. */
  veRatio: number;
}

const MOST_STEPS = 40;

/**
 * A logged row on the car's path, by the relations of the operating line: forwards from what the engine draws to the shaft speed
 * (`predict`), and backwards from the shaft speed to the flow (`residual` and `settle`, for the flow meter). Unlike a solve of the line it
 * takes what was measured in place of what is entered, and holds the flow that fills the charge path. The turbine is asked for the power
 * that the compressor of the row takes, so the row may lie anywhere between gate open and shut.
 */
export class CarPath {
  readonly line: LineModel;
  readonly #volumeM3: number;
  readonly #bias: Required<Bias>;
  readonly #speeds = new Map<number, SpeedModel | null>();
  #inlet: LineModel;
  /** Where the turbine's answer to the last row starts the next one. */
  readonly #start = { dropK: 120, slope: 1.4 };

  /** @returns null where the day's humidity is impossible */
  static of(input: MatchInput, ambient: Ambient, volumeM3: number): CarPath | null {
    const line = lineModel(inputAt(input, ambient));
    return line === null ? null : new CarPath(line, volumeM3 / line.turbos, new Map(), {});
  }

  private constructor(line: LineModel, volumeM3: number, speeds: Map<number, SpeedModel | null>, bias: Bias) {
    this.line = line;
    this.#volumeM3 = volumeM3;
    this.#speeds = speeds;
    this.#inlet = line;
    this.#bias = { ...NO_BIAS, ...bias };
  }

  /** The same car with what is off. */
  biased(bias: Bias): CarPath {
    return new CarPath(this.line, this.#volumeM3, this.#speeds, bias);
  }

  /** What of the engine belongs to a speed; null where a curve or the exhaust has no answer. */
  speedAt(engineSpeedRpm: number): SpeedModel | null {
    let known = this.#speeds.get(engineSpeedRpm);
    if (known === undefined) {
      const made = speedModel(this.line, engineSpeedRpm);
      known = made.ok ? made.speed : null;
      this.#speeds.set(engineSpeedRpm, known);
    }
    return known;
  }

  manifoldPressure(row: RowReadings): number {
    return row.manifoldPressurePa * (1 + this.#bias.manifoldScale) + this.#bias.manifoldOffset;
  }

  /** Measured where the log has it, else what is entered with the day's heating; and the bias of either. */
  inletTemperature(row: RowReadings): number {
    const measured = Number.isNaN(row.inletTemperatureK)
      ? row.ambientTemperatureK + this.line.input.inletPath.heatingK
      : row.inletTemperatureK;
    return measured + this.#bias.inletTemperature;
  }

  correctedSpeed(row: RowReadings): number {
    return row.shaftSpeedRpm / (1 + this.#bias.shaftScale) / this.#speedFactor(this.inletTemperature(row));
  }

  #speedFactor(inletTemperatureK: number): number {
    const { gas, input } = this.line;
    return Math.sqrt(
      (gas.gasConstant * inletTemperatureK) / (DRY_AIR_GAS_CONSTANT * input.compressor.reference.temperatureK),
    );
  }

  /** The line with the inlet of the row; the last one is kept, for a day's air is one. */
  #inletOf(inletTemperatureK: number): LineModel {
    if (this.#inlet.inletTemperatureK === inletTemperatureK) return this.#inlet;
    const { gas } = this.line;
    const speedFactor = this.#speedFactor(inletTemperatureK);
    this.#inlet = {
      ...this.line,
      inletTemperatureK,
      inletEnthalpyJPerKg: gas.enthalpy(inletTemperatureK),
      inletEntropyJPerKgK: gas.entropyFunction(inletTemperatureK),
      inletSpecificHeatJPerKgK: gas.specificHeat(inletTemperatureK),
      speedFactor,
      flowFactor: speedFactor * this.line.input.compressor.reference.pressurePa,
    };
    return this.#inlet;
  }

  /** p01 by the loss of the inlet path, Pa; not above 0 where the loss takes it all. */
  #inletPressureByLoss(row: RowReadings, flow: number): number {
    const p0 = row.ambientPressurePa * (1 + this.#bias.ambientPressure);
    const density = p0 / (this.line.gas.gasConstant * row.ambientTemperatureK);
    return p0 - pressureLoss(this.line.inletLossCoefficient * (1 + this.#bias.inletLoss), flow, density);
  }

  #cooled(row: RowReadings, flow: number, outletTemperatureK: number): number {
    const { cooler } = this.line;
    if (cooler.kind === 'none') return outletTemperatureK;
    const day = this.line.input.ambient.temperatureK;
    const shift = cooler.medium === 'water' ? 0 : row.ambientTemperatureK - day;
    const coolant = cooler.coolantTemperatureK + shift;
    const byCooler = cooledTemperature({ ...cooler, coolantTemperatureK: coolant }, flow, outletTemperatureK);
    return byCooler - this.#bias.coolerEffectiveness * (outletTemperatureK - coolant);
  }

  /**
   * The state with this flow through the compressor and this outlet temperature, the map not yet asked.
   * @returns null where the inlet path takes all pressure
   */
  #stations(row: RowReadings, flow: number, outletTemperatureK: number) {
    const { gas, chargeLossCoefficient } = this.line;
    const byLoss = this.#inletPressureByLoss(row, flow);
    const inlet = Number.isNaN(row.inletPressurePa) ? byLoss : row.inletPressurePa + this.#bias.inletPressureSensor;
    const K = chargeLossCoefficient * (1 + this.#bias.chargeLoss);
    const outletByLoss = pressureBefore(this.manifoldPressure(row), K, flow, gas.gasConstant, outletTemperatureK);
    const outlet = Number.isNaN(row.outletPressurePa)
      ? outletByLoss
      : row.outletPressurePa + this.#bias.outletPressureSensor;
    const cooled = this.#cooled(row, flow, outletTemperatureK);
    const manifold = Number.isNaN(row.chargeTemperatureK) ? cooled : row.chargeTemperatureK + this.#bias.chargeProbe;
    return { byLoss, inlet, outletByLoss, outlet, cooled, manifold };
  }

  /** The map as it is, its reading errors taken off. */
  readMap(correctedFlow: number, pressureRatio: number) {
    const answer = this.line.input.compressor.at(
      correctedFlow / (1 + this.#bias.mapFlow),
      pressureRatio / (1 + this.#bias.mapPressureRatio),
    );
    const efficiency = answer.efficiency ?? this.line.input.assumedEfficiency;
    if (answer.correctedSpeedRpm === null || efficiency === undefined || !(efficiency > 0)) return null;
    return { correctedSpeedRpm: answer.correctedSpeedRpm, efficiency: efficiency + this.#bias.mapEfficiency, answer };
  }

  /**
   * For the flow meter: what the map says to a flow. The outlet temperature, on which the charge loss hardly depends, is brought into line.
   * @param memory outlet temperature to start from; left at what was found
   * @returns null off the map
   */
  residual(row: RowReadings, correctedSpeed: number, flow: number, memory: { outletK: number }): number | null {
    const inlet = this.#inletOf(this.inletTemperature(row));
    for (let i = 0; i < 4; i++) {
      const at = this.#stations(row, flow, memory.outletK);
      if (!(at.inlet > 0)) return null;
      const pressureRatio = at.outlet / at.inlet;
      const read = this.readMap((flow * inlet.flowFactor) / at.inlet, pressureRatio);
      if (read === null) return null;
      const outletK = outletTemperature(inlet, pressureRatio, read.efficiency);
      const moved = Math.abs(outletK - memory.outletK);
      memory.outletK = outletK;
      if (moved < 1e-4 || i === 3) return Math.log(read.correctedSpeedRpm / correctedSpeed);
    }
    return null;
  }

  /** The whole state at a metered flow; null off the map. */
  settle(row: RowReadings, flow: number): PathState | null {
    const memory = { outletK: this.inletTemperature(row) * 1.3 };
    const correctedSpeed = this.correctedSpeed(row);
    if (this.residual(row, correctedSpeed, flow, memory) === null) return null;
    const speed = this.speedAt(row.engineSpeedRpm);
    return speed && this.#state(row, speed, flow, memory.outletK, this.correctedSpeed(row));
  }

  /** The whole state at a flow that another meter gave, its shaft speed that of the map; null off the map, or where it does not settle. */
  stateAt(row: RowReadings, flow: number): PathState | null {
    const speed = this.speedAt(row.engineSpeedRpm);
    const inlet = this.#inletOf(this.inletTemperature(row));
    let outletK = inlet.inletTemperatureK * 1.3;
    for (let i = 0; speed !== null && i < MOST_STEPS; i++) {
      const at = this.#stations(row, flow, outletK);
      if (!(at.inlet > 0)) return null;
      const pressureRatio = at.outlet / at.inlet;
      const read = this.readMap((flow * inlet.flowFactor) / at.inlet, pressureRatio);
      if (read === null) return null;
      const next = outletTemperature(inlet, pressureRatio, read.efficiency);
      const settled = Math.abs(next - outletK) < 1e-11 * next;
      outletK = next;
      if (settled) return this.#state(row, speed, flow, outletK, read.correctedSpeedRpm);
    }
    return null;
  }

  #state(row: RowReadings, speed: SpeedModel, flow: number, outletK: number, correctedSpeed: number): PathState {
    const inlet = this.#inletOf(this.inletTemperature(row));
    const at = this.#stations(row, flow, outletK);
    const shaftSpeedRpm = correctedSpeed * inlet.speedFactor;
    const engineFlow = flow - this.#filling(row, at.manifold);
    const back = this.#backPressure(row, speed.exhaust, { flow, engineFlow, outletK, shaftSpeedRpm });
    const factor = this.#breathing(speed.exhaust, back);
    const entered = speed.breathing * this.manifoldPressure(row);
    return {
      airMassFlowKgPerS: flow,
      engineFlowKgPerS: engineFlow,
      correctedMassFlowKgPerS: (flow * inlet.flowFactor) / at.inlet,
      pressureRatio: at.outlet / at.inlet,
      shaftSpeedRpm: shaftSpeedRpm * (1 + this.#bias.shaftScale),
      inletPressurePa: at.inlet,
      inletTemperatureK: inlet.inletTemperatureK,
      outletPressurePa: at.outlet,
      outletTemperatureK: outletK,
      manifoldTemperatureK: at.manifold,
      cooledTemperatureK: at.cooled,
      inletPressureByLossPa: at.byLoss,
      outletPressureByLossPa: at.outletByLoss,
      backPressureRatio: back,
      breathingFactor: factor,
      veRatio: (engineFlow * at.manifold) / (entered * factor),
    };
  }

  #filling(row: RowReadings, manifoldTemperatureK: number): number {
    const rate = row.pressureRatePaPerS;
    return Number.isNaN(rate) ? 0 : rate * this.fillingPerRate(manifoldTemperatureK);
  }

  /** Flow that fills the charge path, kg/s, for one Pa/s. */
  fillingPerRate(manifoldTemperatureK: number): number {
    return this.#volumeM3 / (this.line.gas.gasConstant * manifoldTemperatureK);
  }

  /** How much ln VE falls for a change of ln(p3/p_m). */
  breathingSlope(row: RowReadings, at: PathState): number {
    const exhaust = this.speedAt(row.engineSpeedRpm)?.exhaust;
    if (exhaust == null || at.backPressureRatio === null) return 0;
    const near = breathingFactor(exhaust, at.backPressureRatio * 1.01);
    return Math.abs(Math.log(near / at.breathingFactor)) / 0.01;
  }

  /** p3/p_m: measured, or that at which the turbine gives what the compressor takes. null without a turbine or an answer. */
  #backPressure(
    row: RowReadings,
    exhaust: ExhaustModel | null,
    at: { flow: number; engineFlow: number; outletK: number; shaftSpeedRpm: number },
  ): number | null {
    if (exhaust === null) return null;
    const manifoldPa = this.manifoldPressure(row);
    const scale = 1 + this.#bias.backPressure;
    if (!Number.isNaN(row.turbineInletPressurePa)) return (row.turbineInletPressurePa / manifoldPa) * scale;
    const { gas } = this.line;
    const inlet = this.#inletOf(this.inletTemperature(row));
    const power =
      (at.flow * (gas.enthalpy(at.outletK) - inlet.inletEnthalpyJPerKg)) / exhaust.turbine.mechanicalEfficiency;
    if (!(power > 0 && at.engineFlow > 0)) return null;
    const outletPa =
      turbineOutletPressure(this.line, exhaust, at.engineFlow * (1 + exhaust.fuelShare)) -
      this.line.input.ambient.pressurePa +
      row.ambientPressurePa;
    const expansion = expansionForPower(exhaust, outletPa, at.shaftSpeedRpm, power, this.#start, 1e-10);
    return expansion === null ? null : ((expansion.ratio * outletPa) / manifoldPa) * scale;
  }

  #breathing(exhaust: ExhaustModel | null, back: number | null): number {
    if (exhaust === null || back === null) return 1;
    const factor = breathingFactor(exhaust, back);
    return factor > 0 ? factor : 1;
  }

  /**
   * The shaft speed that the row should have, and all that goes with it.
   * @param veFactor on the entered volumetric efficiency
   * @returns null where there is no compression, the demand is off the map, or it does not settle
   */
  predict(row: RowReadings, veFactor = 1): PathState | null {
    const speed = this.speedAt(row.engineSpeedRpm);
    if (speed === null) return null;
    const inlet = this.#inletOf(this.inletTemperature(row));
    const drawn = speed.breathing * veFactor * this.manifoldPressure(row);
    let outletK = inlet.inletTemperatureK * 1.3;
    let flow = drawn / (Number.isNaN(row.chargeTemperatureK) ? 330 : row.chargeTemperatureK);
    let factor = 1;
    for (let i = 0; i < MOST_STEPS; i++) {
      let at = this.#stations(row, flow, outletK);
      // The cooler's effectiveness may change with flow, and the losses with it: settled in the loop as well.
      flow = (drawn * factor) / at.manifold + this.#filling(row, at.manifold);
      at = this.#stations(row, flow, outletK);
      const pressureRatio = at.outlet / at.inlet;
      if (!(at.inlet > 0.3 * row.ambientPressurePa && pressureRatio > 1)) return null;
      const read = this.readMap((flow * inlet.flowFactor) / at.inlet, pressureRatio);
      if (read === null) return null;
      const next = outletTemperature(inlet, pressureRatio, read.efficiency);
      if (next >= HOTTEST_OUTLET_K) return null;
      const rise = Math.max(1, next - inlet.inletTemperatureK);
      const engineFlow = flow - this.#filling(row, at.manifold);
      const shaftSpeedRpm = read.correctedSpeedRpm * inlet.speedFactor;
      const back = this.#backPressure(row, speed.exhaust, { flow, engineFlow, outletK: next, shaftSpeedRpm });
      const newFactor = this.#breathing(speed.exhaust, back);
      const settled = Math.abs(next - outletK) < 1e-8 * rise && Math.abs(newFactor - factor) < 1e-9;
      outletK = next;
      factor = newFactor;
      if (settled) return this.#state(row, speed, flow, outletK, read.correctedSpeedRpm);
    }
    return null;
  }
}

const NO_BIAS = Object.fromEntries(NUISANCES.map((key) => [key, 0])) as Required<Bias>;
