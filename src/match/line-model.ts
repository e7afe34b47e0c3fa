import { DRY_AIR_GAS_CONSTANT, density, dryMassFraction, type GasMixture, moistAir } from '../air/index.ts';
import {
  airPressureShare,
  cooledTemperature,
  coolerOfOne,
  dependsOnFlow,
  dryAirForPower,
  FUELS,
  type Fuel,
  lossCoefficient,
  pressureBefore,
  pressureLoss,
  sweptVolumeFlow,
} from '../engine/index.ts';
import type { CoolerInput } from '../engine/types.ts';
import { evaluateCurve, findRoot } from '../numerics/index.ts';
import { type ExhaustModel, exhaustModel } from './exhaust-model.ts';
import type { MatchInput } from './types.ts';

/** Every station of the path, given the compressor outlet temperature. With several turbos flows are those of one of them. */
export interface GasState {
  outletTemperatureK: number;
  airMassFlowKgPerS: number;
  manifoldTemperatureK: number;
  manifoldPressurePa: number;
  inletPressurePa: number;
  outletPressurePa: number;
  pressureRatio: number;
  correctedMassFlowKgPerS: number;
  /** The inlet path takes more than half of the ambient pressure: the loss law means nothing there, inletPressurePa is held at half. */
  inletExhausted: boolean;
}

/** The loss law is that of a nearly incompressible flow; past half of the ambient pressure it is certainly not. */
const LARGEST_INLET_LOSS_SHARE = 0.5;

/**
 * With the compressor outlet temperature known, everything else follows without iteration (but for a cooler whose effectiveness
 * changes with flow): breathing gives the flow (or the goal does), the losses give p01 and p02.
 */
export function gasState(line: LineModel, speed: SpeedModel, outletTemperatureK: number): GasState {
  const { input } = line;
  const { goal, breathing } = speed;
  const flow =
    goal.kind === 'flow'
      ? goal.airMassFlowKgPerS
      : breathedFlow(line, breathing * goal.manifoldPressurePa, outletTemperatureK);
  const manifoldTemperatureK = cooledTemperature(line.cooler, flow, outletTemperatureK);
  const manifoldPressurePa = goal.kind === 'flow' ? (flow * manifoldTemperatureK) / breathing : goal.manifoldPressurePa;
  const ambientPa = input.ambient.pressurePa;
  const loss = pressureLoss(line.inletLossCoefficient, flow, line.ambientDensityKgPerM3);
  const inletExhausted = loss > LARGEST_INLET_LOSS_SHARE * ambientPa;
  const inletPressurePa = ambientPa - Math.min(loss, LARGEST_INLET_LOSS_SHARE * ambientPa);
  const outletPressurePa = pressureBefore(
    manifoldPressurePa,
    line.chargeLossCoefficient,
    flow,
    line.gas.gasConstant,
    outletTemperatureK,
  );
  return {
    outletTemperatureK,
    airMassFlowKgPerS: flow,
    manifoldTemperatureK,
    manifoldPressurePa,
    inletPressurePa,
    outletPressurePa,
    pressureRatio: outletPressurePa / inletPressurePa,
    correctedMassFlowKgPerS: (flow * line.flowFactor) / inletPressurePa,
    inletExhausted,
  };
}

/**
 * Flow W with W T_m(W) = breathing p_m. Explicit for a constant effectiveness, else bracketed by the temperatures that T_m lies between.
 */
function breathedFlow(line: LineModel, flowTimesTemperature: number, outletTemperatureK: number): number {
  const { cooler } = line;
  if (!line.coolerDependsOnFlow || cooler.kind === 'none') {
    return flowTimesTemperature / cooledTemperature(cooler, 0, outletTemperatureK);
  }
  const coldest = Math.min(outletTemperatureK, cooler.coolantTemperatureK);
  const hottest = Math.max(outletTemperatureK, cooler.coolantTemperatureK);
  // Divided by the product so that the residual is a plain ratio; the ends bracket it by construction.
  const residual = (W: number) => (W * cooledTemperature(cooler, W, outletTemperatureK)) / flowTimesTemperature - 1;
  const solved = findRoot(
    residual,
    (flowTimesTemperature / hottest) * (1 - 1e-12),
    (flowTimesTemperature / coldest) * (1 + 1e-12),
    {
      fTolerance: 1e-13,
    },
  );
  return solved.ok ? solved.value : flowTimesTemperature / hottest;
}

/**
 * What is the same at every engine speed of a line, worked out once. SI. Several equal turbos in parallel are solved as one on its share
 * of the engine: every flow is that of one turbo, and a loss that all of them share counts with the square of their number.
 */
export interface LineModel {
  input: MatchInput;
  /** Turbos that share the engine's flow; W of the engine is this times that of a turbo. */
  turbos: number;
  fuel: Fuel;
  gas: GasMixture;
  dryShare: number;
  /** p0/(R T0), before any heating: the density that the inlet loss refers to. */
  ambientDensityKgPerM3: number;
  /** T01 */
  inletTemperatureK: number;
  /** h01 */
  inletEnthalpyJPerKg: number;
  /** s0(T01) */
  inletEntropyJPerKgK: number;
  /** cp(T01) */
  inletSpecificHeatJPerKgK: number;
  /** Of losses: for the flow of one turbo. */
  inletLossCoefficient: number;
  chargeLossCoefficient: number;
  /** Of the exhaust system; 0 without a turbine. */
  exhaustLossCoefficient: number;
  /** Its flows those of one turbo. */
  cooler: CoolerInput;
  coolerDependsOnFlow: boolean;
  /** Wc = W flowFactor / p01 */
  flowFactor: number;
  /** N = Nc speedFactor */
  speedFactor: number;
}

/** @returns the model, or null when the vapour fraction is impossible (the input check says so before). */
export function lineModel(input: MatchInput): LineModel | null {
  const { ambient, inletPath, chargePath, compressor } = input;
  const gas = moistAir(ambient.vapourMoleFraction);
  const dryShare = dryMassFraction(ambient.vapourMoleFraction);
  if (gas === null || dryShare === null) return null;
  const inletTemperatureK = ambient.temperatureK + inletPath.heatingK;
  const { temperatureK, pressurePa } = compressor.reference;
  const turbos = input.turboCount ?? 1;
  const speedFactor = Math.sqrt((gas.gasConstant * inletTemperatureK) / (DRY_AIR_GAS_CONSTANT * temperatureK));
  return {
    input,
    turbos,
    fuel: FUELS[input.engine.fuel],
    gas,
    dryShare,
    ambientDensityKgPerM3: density(gas, ambient.pressurePa, ambient.temperatureK),
    inletTemperatureK,
    inletEnthalpyJPerKg: gas.enthalpy(inletTemperatureK),
    inletEntropyJPerKgK: gas.entropyFunction(inletTemperatureK),
    inletSpecificHeatJPerKgK: gas.specificHeat(inletTemperatureK),
    inletLossCoefficient: lossCoefficient(inletPath, turbos),
    chargeLossCoefficient: lossCoefficient(chargePath, turbos),
    exhaustLossCoefficient: input.turbine === undefined ? 0 : lossCoefficient(input.turbine.exhaustLoss, turbos),
    cooler: coolerOfOne(chargePath, turbos),
    coolerDependsOnFlow: dependsOnFlow(chargePath.cooler),
    flowFactor: speedFactor * pressurePa,
    speedFactor,
  };
}

/** Outlet temperature that no charge reaches: a loop that runs into it has no solution. */
export const HOTTEST_OUTLET_K = 3000;

/** h02s - h01 of a compression from the compressor inlet, J/kg; 0 at a pressure ratio up to 1, null past the gas polynomials. */
export function isentropicWork(model: LineModel, pressureRatio: number): number | null {
  const { gas, inletTemperatureK: T01 } = model;
  if (pressureRatio <= 1) return 0;
  // As isentropicEnthalpyRise of src/air, with what belongs to the inlet worked out once a line: this is where a study spends its time.
  const rise = gas.gasConstant * Math.log(pressureRatio);
  const middleK = Math.min(5000, T01 * Math.exp((0.5 * rise) / model.inletSpecificHeatJPerKgK));
  const guessK = Math.min(5000, T01 * Math.exp(rise / gas.specificHeat(middleK)));
  const ideal = gas.temperatureAtEntropyFunction(model.inletEntropyJPerKgK + rise, guessK);
  return ideal === null ? null : gas.enthalpy(ideal) - model.inletEnthalpyJPerKg;
}

/** T02 of a compression from the compressor inlet, K; HOTTEST_OUTLET_K where it would be hotter; T01 at a pressure ratio up to 1. */
export function outletTemperature(model: LineModel, pressureRatio: number, efficiency: number): number {
  const { gas, inletTemperatureK: T01 } = model;
  const ideal = isentropicWork(model, pressureRatio);
  if (ideal === null) return HOTTEST_OUTLET_K;
  if (ideal === 0) return T01;
  const work = ideal / efficiency;
  const middle = Math.min(HOTTEST_OUTLET_K, T01 + work / 2100);
  const guess = Math.min(HOTTEST_OUTLET_K, T01 + work / gas.specificHeat(middle));
  const T = gas.temperatureAtEnthalpy(model.inletEnthalpyJPerKg + work, guess);
  return T === null ? HOTTEST_OUTLET_K : Math.min(T, HOTTEST_OUTLET_K);
}

/**
 * The efficiency that an outlet temperature means at a pressure ratio: isentropic work over work.
 * @param outletTemperatureK above T01
 * @returns above 1 where a compression without loss would be hotter; 0 past the gas polynomials
 */
export function impliedEfficiency(model: LineModel, pressureRatio: number, outletTemperatureK: number): number {
  const ideal = isentropicWork(model, pressureRatio);
  return ideal === null ? 0 : ideal / (model.gas.enthalpy(outletTemperatureK) - model.inletEnthalpyJPerKg);
}

/** What the engine does and is asked for at one engine speed; with several turbos the share of one of them. */
export interface SpeedModel {
  engineSpeedRpm: number;
  lambda: number;
  bsfcKgPerJ: number;
  /** W = breathing p_m / T_m */
  breathing: number;
  /** A pressure goal fixes p_m; a power goal fixes the air flow, because power = fuel / bsfc. */
  goal: { kind: 'pressure'; manifoldPressurePa: number } | { kind: 'flow'; airMassFlowKgPerS: number };
  /** null: no turbine is known. */
  exhaust: ExhaustModel | null;
}

export type SpeedModelResult = { ok: true; speed: SpeedModel } | { ok: false; message: string };

/** @returns the model, or one sentence why there is none: an empty curve, or an exhaust that cannot be. */
export function speedModel(line: LineModel, engineSpeedRpm: number): SpeedModelResult {
  const { engine, goal, ambient } = line.input;
  const volumetricEfficiency = evaluateCurve(engine.volumetricEfficiency, engineSpeedRpm);
  const lambda = evaluateCurve(engine.lambda, engineSpeedRpm);
  const bsfcKgPerJ = evaluateCurve(engine.bsfcKgPerJ, engineSpeedRpm);
  const asked = evaluateCurve(goal.curve, engineSpeedRpm);
  if (volumetricEfficiency === null || lambda === null || bsfcKgPerJ === null || asked === null) {
    return { ok: false, message: 'A curve has no points: enter at least one.' };
  }
  const pressureShare = airPressureShare({
    injection: engine.injection,
    fuel: line.fuel,
    lambda,
    vapourMoleFraction: ambient.vapourMoleFraction,
    dryMassFraction: line.dryShare,
    airMolarMassKgPerMol: line.gas.molarMassKgPerMol,
  });
  const swept = sweptVolumeFlow(engine.displacementM3, engine.strokesPerCycle, engineSpeedRpm);
  const breathing = (volumetricEfficiency * swept * pressureShare) / line.gas.gasConstant / line.turbos;
  const { turbine } = line.input;
  const made = turbine === undefined ? null : exhaustModel(line, turbine, engineSpeedRpm, lambda, bsfcKgPerJ);
  if (made?.ok === false) return made;
  const asks = askedOf(line, asked, lambda, bsfcKgPerJ);
  const exhaust = made?.exhaust ?? null;
  return { ok: true, speed: { engineSpeedRpm, lambda, bsfcKgPerJ, breathing, goal: asks, exhaust } };
}

function askedOf(line: LineModel, asked: number, lambda: number, bsfcKgPerJ: number): SpeedModel['goal'] {
  const { engine, goal, ambient } = line.input;
  switch (goal.kind) {
    case 'gauge-boost':
      return { kind: 'pressure', manifoldPressurePa: ambient.pressurePa + asked };
    case 'manifold-pressure':
      return { kind: 'pressure', manifoldPressurePa: asked };
    case 'brake-power':
    case 'wheel-power': {
      const brake = goal.kind === 'brake-power' ? asked : asked / (1 - engine.drivelineLoss);
      const dryAir = dryAirForPower(brake, bsfcKgPerJ, lambda, line.fuel.stoichiometricAirFuelRatio);
      return { kind: 'flow', airMassFlowKgPerS: dryAir / line.dryShare / line.turbos };
    }
  }
}

/** Share of the ambient pressure below which no engine is looked at. */
export const LOWEST_SHARE = 0.02;

/** What is extended above the map's highest pressure ratio stays within this. */
const MAP_ROOM = 1.5;

/** Manifold pressure above which no map answers. */
export function highestPressure({ input }: LineModel): number {
  return MAP_ROOM * input.compressor.extent.maxPressureRatio * input.ambient.pressurePa;
}

/** Manifold pressure at which the compressor has nothing to do; null where the engine needs it at no pressure below `fromPa`. */
export function unboostedPressure(line: LineModel, speed: SpeedModel, fromPa: number): number | null {
  const { pressurePa } = line.input.ambient;
  const ratio = (manifoldPressurePa: number) =>
    gasState(line, { ...speed, goal: { kind: 'pressure', manifoldPressurePa } }, line.inletTemperatureK).pressureRatio -
    1;
  const root = findRoot(ratio, LOWEST_SHARE * pressurePa, fromPa, { xTolerance: 1e-6 * pressurePa });
  return root.ok ? root.value : null;
}
