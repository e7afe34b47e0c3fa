import { findRoot } from '../numerics/index.ts';
import { type GasState, gasState } from './gas-state.ts';
import { HOTTEST_OUTLET_K, type LineModel, outletTemperature } from './line-model.ts';
import type { SpeedModel } from './speed-model.ts';

/** What the engine asks of the compressor when the efficiency is given: the inner loop, which needs no map. */
export type Demand =
  | { ok: true; state: GasState }
  | { ok: false; reason: 'inlet-exhausted' | 'unreachable-goal' | 'not-converged'; state: GasState };

const MAX_SECANT_STEPS = 14;

/**
 * Solves T02 = T_compression(pressure ratio(T02), efficiency) for the outlet temperature. A secant started at `guessK` nearly always
 * ends in a few steps; when it does not, the bracket T01..3000 K decides, so that it always ends.
 */
export function demandAt(line: LineModel, speed: SpeedModel, efficiency: number, guessK: number): Demand {
  const T01 = line.inletTemperatureK;
  const compressed = (state: GasState) => outletTemperature(line, state.pressureRatio, efficiency);
  let previousT = Number.NaN;
  let previousResidual = Number.NaN;
  let T = Math.max(T01, guessK);
  for (let i = 0; i < MAX_SECANT_STEPS; i++) {
    const state = gasState(line, speed, T);
    const end = compressed(state);
    const residual = end - T;
    if (Math.abs(residual) <= 1e-9 * (T - T01) + 1e-12 * T) return ended(state, end);
    const slope = (residual - previousResidual) / (T - previousT);
    const next = Number.isFinite(slope) && slope < -0.05 ? T - residual / slope : end;
    previousT = T;
    previousResidual = residual;
    T = Math.min(HOTTEST_OUTLET_K, Math.max(T01, next));
  }
  const solved = findRoot((t) => compressed(gasState(line, speed, t)) - t, T01, HOTTEST_OUTLET_K, {
    xTolerance: 1e-10,
  });
  if (!solved.ok) {
    const reason = solved.failure.reason === 'no-bracket' ? 'unreachable-goal' : 'not-converged';
    return { ok: false, reason, state: gasState(line, speed, T01) };
  }
  const state = gasState(line, speed, solved.value);
  const end = compressed(state);
  if (Math.abs(end - solved.value) > 1e-8 * solved.value) return { ok: false, reason: 'not-converged', state };
  return ended(state, end);
}

function ended(state: GasState, outletTemperatureK: number): Demand {
  if (state.inletExhausted) return { ok: false, reason: 'inlet-exhausted', state };
  if (outletTemperatureK >= HOTTEST_OUTLET_K) return { ok: false, reason: 'unreachable-goal', state };
  return { ok: true, state };
}
