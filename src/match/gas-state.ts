import { cooledTemperature, pressureBefore, pressureLoss } from '../engine/index.ts';
import { findRoot } from '../numerics/index.ts';
import type { LineModel } from './line-model.ts';
import type { SpeedModel } from './speed-model.ts';

/** Every station of the path, given the compressor outlet temperature. */
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
  const manifoldTemperatureK = cooledTemperature(input.chargePath.cooler, flow, outletTemperatureK);
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
  const { cooler } = line.input.chargePath;
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
