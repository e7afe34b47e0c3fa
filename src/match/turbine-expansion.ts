import { findRoot } from '../numerics/index.ts';
import { bladeSpeedRatio, speedRatioEfficiency } from '../turbine/index.ts';
import type { ExhaustModel } from './exhaust-model.ts';

/** The turbine at an expansion, its outlet pressure and shaft speed given. */
export interface Expansion {
  /** p03/p4 */
  ratio: number;
  /** h03 - h04s, J/kg */
  isentropicDropJPerKg: number;
  massFlowKgPerS: number;
  flowParameterM2: number;
  efficiency: number;
  /** U/C0; null without the wheel's diameter or a drop. */
  speedRatio: number | null;
  /** Gas power given to the shaft, W. */
  powerW: number;
}

/** No exhaust is expanded further: far beyond any turbine, near the end of the gas polynomials. */
const COLDEST_OUTLET_K = 205;
const LARGEST_RATIO = 200;
const MOST_STEPS = 24;
/** Where to look for a power: what a neighbour came to. */
export interface PowerStart {
  dropK: number;
  /** Slope of the logarithm of power over that of the temperature drop. */
  slope: number;
}

/**
 * The expansion to an isentropic outlet temperature. With that temperature as the unknown, neither entropy nor enthalpy has to be
 * inverted.
 */
function expansionTo(
  exhaust: ExhaustModel,
  outletPressurePa: number,
  shaftSpeedRpm: number,
  isentropicOutletK: number,
  into: Expansion = blank(),
): Expansion {
  const { gas } = exhaust;
  return expanded(
    into,
    exhaust,
    outletPressurePa,
    shaftSpeedRpm,
    ratioTo(exhaust, isentropicOutletK),
    exhaust.enthalpyJPerKg - gas.enthalpy(isentropicOutletK),
  );
}

/** The same over an isentropic temperature drop, K; null where exhaust is expanded no further. */
export function expansionOver(
  exhaust: ExhaustModel,
  outletPressurePa: number,
  shaftSpeedRpm: number,
  dropK: number,
): Expansion | null {
  const outletK = exhaust.temperatureK - dropK;
  return outletK > COLDEST_OUTLET_K ? expansionTo(exhaust, outletPressurePa, shaftSpeedRpm, outletK) : null;
}

/** Isentropic outlet temperature, K, of an expansion ratio; null past the gas polynomials. */
export function isentropicOutlet(
  { gas, temperatureK, entropyJPerKgK, breathing }: ExhaustModel,
  ratio: number,
): number | null {
  const entropy = entropyJPerKgK - gas.gasConstant * Math.log(ratio);
  return gas.temperatureAtEntropyFunction(entropy, temperatureK * ratio ** (breathing.inverseGamma - 1));
}

/** p03/p4 of an isentropic outlet temperature. */
export function ratioTo({ gas, entropyJPerKgK }: ExhaustModel, isentropicOutletK: number): number {
  return Math.exp((entropyJPerKgK - gas.entropyFunction(isentropicOutletK)) / gas.gasConstant);
}

/** To be filled. A search fills the same one at every step: hundreds of new ones at every step of an input would soon have to be collected. */
function blank(): Expansion {
  return {
    ratio: Number.NaN,
    isentropicDropJPerKg: Number.NaN,
    massFlowKgPerS: Number.NaN,
    flowParameterM2: Number.NaN,
    efficiency: Number.NaN,
    speedRatio: null,
    powerW: Number.NaN,
  };
}

function expanded(
  into: Expansion,
  exhaust: ExhaustModel,
  outletPressurePa: number,
  shaftSpeedRpm: number,
  ratio: number,
  isentropicDropJPerKg: number,
): Expansion {
  const { turbine, rootRT } = exhaust;
  const reducedSpeed = shaftSpeedRpm / rootRT;
  const flowParameterM2 = turbine.capacity.flowParameter(ratio, reducedSpeed) * (turbine.capacityFactor ?? 1);
  const massFlowKgPerS = (flowParameterM2 * ratio * outletPressurePa) / rootRT;
  const wheelM = turbine.efficiency.kind === 'speed-ratio' ? turbine.efficiency.wheelDiameterM : null;
  const speedRatio = wheelM === null ? null : bladeSpeedRatio(shaftSpeedRpm, wheelM, isentropicDropJPerKg);
  const efficiency = efficiencyAt(exhaust, ratio, reducedSpeed, speedRatio);
  into.ratio = ratio;
  into.isentropicDropJPerKg = isentropicDropJPerKg;
  into.massFlowKgPerS = massFlowKgPerS;
  into.flowParameterM2 = flowParameterM2;
  into.efficiency = efficiency;
  into.speedRatio = speedRatio;
  into.powerW = massFlowKgPerS * isentropicDropJPerKg * efficiency;
  return into;
}

function efficiencyAt(
  { turbine }: ExhaustModel,
  ratio: number,
  reducedSpeed: number,
  speedRatio: number | null,
): number {
  const { efficiency, efficiencyShift = 0 } = turbine;
  switch (efficiency.kind) {
    case 'number':
      return efficiency.value + efficiencyShift;
    case 'sheet':
      return (turbine.capacity.efficiency(ratio, reducedSpeed) ?? Number.NaN) + efficiencyShift;
    case 'speed-ratio':
      return speedRatioEfficiency(efficiency.best, efficiency.optimum, speedRatio ?? Number.NaN) + efficiencyShift;
  }
}

/**
 * The expansion that gives the shaft a power: found by a secant on logarithms, in which power over temperature drop is nearly a straight
 * line; where that does not settle, bracketed.
 *
 * @param powerW gas power, above 0
 * @param start isentropic temperature drop and slope of the logarithms to start from; left at what was found
 * @param settled relative, of the power
 * @returns null where no expansion gives that much
 */
export function expansionForPower(
  exhaust: ExhaustModel,
  outletPressurePa: number,
  shaftSpeedRpm: number,
  powerW: number,
  start: PowerStart,
  settled: number,
): Expansion | null {
  const T3 = exhaust.temperatureK;
  const largest = T3 - COLDEST_OUTLET_K;
  const here = blank();
  const at = (dropK: number) => expansionTo(exhaust, outletPressurePa, shaftSpeedRpm, T3 - dropK, here);
  let drop = Math.min(0.9 * largest, Math.max(1e-3, start.dropK));
  let lastX = Number.NaN;
  let lastY = Number.NaN;
  for (let i = 0; i < MOST_STEPS; i++) {
    at(drop);
    if (!(here.powerW > 0)) {
      // Past twice the best U/C0 the wheel only churns: it takes a larger drop.
      drop = Math.min(largest, drop * 2);
      if (drop >= largest) break;
      continue;
    }
    const x = Math.log(drop);
    const y = Math.log(here.powerW / powerW);
    const measured = (y - lastY) / (x - lastX);
    if (measured > 0.3 && Math.abs(x - lastX) > 1e-6) start.slope = measured;
    if (Math.abs(y) < settled) {
      start.dropK = drop;
      return here;
    }
    const step = y / (measured > 0.3 && Number.isFinite(measured) ? measured : start.slope);
    lastX = x;
    lastY = y;
    const next = Math.exp(x - Math.min(2, Math.max(-2, step)));
    if (next >= largest) break;
    drop = next;
  }
  const root = findRoot((dropK) => at(dropK).powerW / powerW - 1, 1e-6, largest, { fTolerance: settled });
  if (!root.ok) return null;
  start.dropK = root.value;
  const found = at(root.value);
  return Math.abs(found.powerW / powerW - 1) < 1e-8 ? found : null;
}

/**
 * The expansion at which the turbine passes a flow.
 * @param guessRatio to start from, above 1
 * @param settled relative, of the flow
 * @returns null where it does not pass it below an expansion ratio of 200
 */
export function expansionForFlow(
  exhaust: ExhaustModel,
  outletPressurePa: number,
  shaftSpeedRpm: number,
  massFlowKgPerS: number,
  guessRatio: number,
  settled: number,
): Expansion | null {
  const { turbine, rootRT, gas } = exhaust;
  const reducedSpeed = shaftSpeedRpm / rootRT;
  const wanted = (massFlowKgPerS * rootRT) / (outletPressurePa * (turbine.capacityFactor ?? 1));
  const excess = (ratio: number) => Math.log((turbine.capacity.flowParameter(ratio, reducedSpeed) * ratio) / wanted);
  const ratio = ratioWhere(excess, guessRatio, settled);
  if (ratio === null) return null;
  const outletK = isentropicOutlet(exhaust, ratio);
  if (outletK === null) return null;
  const dropJPerKg = exhaust.enthalpyJPerKg - gas.enthalpy(outletK);
  return expanded(blank(), exhaust, outletPressurePa, shaftSpeedRpm, ratio, dropJPerKg);
}

/** Secant over ln(ln ratio), in which the logarithm of the flow is nearly straight; bracketed where it does not settle. */
function ratioWhere(excess: (ratio: number) => number, guessRatio: number, settled: number): number | null {
  const ratioAt = (x: number) => Math.exp(Math.exp(x));
  let x = Math.log(Math.log(Math.min(50, Math.max(1 + 1e-6, guessRatio))));
  let lastX = Number.NaN;
  let lastY = Number.NaN;
  for (let i = 0; i < MOST_STEPS; i++) {
    const y = excess(ratioAt(x));
    if (Math.abs(y) < settled) return ratioAt(x);
    if (!Number.isFinite(y)) break;
    const slope = (y - lastY) / (x - lastX);
    const step = Number.isFinite(slope) && slope > 0.2 ? y / slope : y / 0.8;
    lastX = x;
    lastY = y;
    x -= Math.min(1.5, Math.max(-1.5, step));
    if (ratioAt(x) > LARGEST_RATIO) break;
  }
  const root = findRoot(excess, 1 + 1e-12, LARGEST_RATIO, { fTolerance: settled });
  return root.ok && Math.abs(excess(root.value)) < 1e-8 ? root.value : null;
}
