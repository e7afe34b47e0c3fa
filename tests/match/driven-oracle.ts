import { type MatchInput, type OperatingPointSolved, solveOperatingLine } from '../../src/match/index.ts';
import type { TurbineInput } from '../../src/turbine/types.ts';
import { efficiencyOf, exhaustOf, isentropicDrop } from './driven-balances.ts';

/** What a manifold pressure would take and get at an engine speed. */
export interface OracleState {
  point: OperatingPointSolved;
  backPressureRatio: number;
  expansionRatio: number;
  /** (power given less power taken) over power taken; with the gate shut. */
  surplus: number;
  /** 1 - W3/exhaust flow; with the gate holding the pressure. */
  gateShare: number;
}

/** Bisection of a function that falls through zero; null where the ends do not bracket. */
export function falling(f: (x: number) => number | null, low: number, high: number, steps = 60): number | null {
  const [first, last] = [f(low), f(high)];
  if (first === null || last === null || first < 0 || last > 0) return null;
  let [a, b] = [low, high];
  for (let i = 0; i < steps; i++) {
    const middle = (a + b) / 2;
    const value = f(middle);
    if (value === null) return null;
    if (value >= 0) a = middle;
    else b = middle;
  }
  return (a + b) / 2;
}

/** The solve without a turbine, which is held to balances of its own, with volumetric efficiency worsened by a factor. */
function compressorAt(input: MatchInput, n: number, pressurePa: number, factor: number): OperatingPointSolved | null {
  const { turbine: _left, ...rest } = input;
  const engine = {
    ...input.engine,
    volumetricEfficiency: input.engine.volumetricEfficiency.map((p) => ({ ...p, value: p.value * factor })),
  };
  const goal = { kind: 'manifold-pressure', curve: [{ engineSpeedRpm: n, value: pressurePa }] } as const;
  const [point] = solveOperatingLine({ ...rest, engine, goal, engineSpeedsRpm: [n] });
  return point?.status === 'ok' ? point : null;
}

/**
 * The balance at a manifold pressure by plain nested bisection: the back-pressure ratio outside, the expansion inside, and the solve
 * without a turbine for the compressor's side. None of the turbine's solver is called.
 *
 * @param gate 'shut': all exhaust through the turbine, whatever power comes of it; 'holding': just the power that is taken
 * @returns null where the map or the turbine has no answer on the way
 */
export function oracleAt(
  input: MatchInput,
  engineSpeedRpm: number,
  pressurePa: number,
  gate: 'shut' | 'holding',
  steps = 45,
): OracleState | null {
  const turbine = input.turbine as TurbineInput;
  const plain = compressorAt(input, engineSpeedRpm, pressurePa, 1);
  if (plain === null) return null;
  const { gas, temperatureK: T3 } = exhaustOf(plain, input, turbine);
  const rootRT = Math.sqrt(gas.gasConstant * T3);
  const cp = gas.specificHeat(T3);
  const exponent = (cp - gas.gasConstant) / cp;
  const rc = input.engine.compressionRatio;
  const measured = (turbine.measuredBackPressureRatio ?? 1) ** exponent;
  const p0 = input.ambient.pressurePa;
  const { lossPa, atMassFlowKgPerS, atDensityKgPerM3 } = turbine.exhaustLoss;

  const side = (q: number) => {
    const factor = (rc - q ** exponent) / (rc - measured);
    const point = factor > 0 ? compressorAt(input, engineSpeedRpm, pressurePa, factor) : null;
    if (point === null) return null;
    const flow = point.airMassFlowKgPerS + point.fuelMassFlowKgPerS;
    const p4 = p0 + (lossPa * atDensityKgPerM3 * (flow / atMassFlowKgPerS) ** 2 * rootRT * rootRT) / p0;
    const swallowed = (ratio: number) =>
      (turbine.capacity.flowParameter(ratio, point.shaftSpeedRpm / rootRT) *
        (turbine.capacityFactor ?? 1) *
        ratio *
        p4) /
      rootRT;
    const given = (ratio: number) => {
      const drop = isentropicDrop(gas, T3, ratio);
      const { efficiency: e } = turbine;
      const speedRatio =
        e.kind === 'speed-ratio' ? (Math.PI * e.wheelDiameterM * point.shaftSpeedRpm) / 60 / Math.sqrt(2 * drop) : null;
      const efficiency = efficiencyOf(turbine, ratio, point.shaftSpeedRpm / rootRT, speedRatio);
      return swallowed(ratio) * drop * efficiency * turbine.mechanicalEfficiency;
    };
    const balance =
      gate === 'shut'
        ? (x: number) => flow - swallowed(Math.exp(x))
        : (x: number) => point.compressorPowerW - given(Math.exp(x));
    const logRatio = falling(balance, 1e-9, Math.log(60), steps);
    if (logRatio === null) return null;
    const ratio = Math.exp(logRatio);
    return { point, ratio, p4, flow, swallowed: swallowed(ratio), given: given(ratio) };
  };
  const residual = (q: number) => {
    const there = side(q);
    return there === null ? null : (there.ratio * there.p4) / pressurePa - q;
  };
  // Without an answer at an end the bracket is drawn in.
  for (const [low, high] of [
    [0.1, 15],
    [0.3, 6],
    [0.5, 3],
    [0.7, 2],
  ] as const) {
    const q = falling(residual, low, high, steps);
    const there = q === null ? null : side(q);
    if (q === null || there === null) continue;
    return {
      point: there.point,
      backPressureRatio: q,
      expansionRatio: there.ratio,
      surplus: there.given / there.point.compressorPowerW - 1,
      gateShare: 1 - there.swallowed / there.flow,
    };
  }
  return null;
}
