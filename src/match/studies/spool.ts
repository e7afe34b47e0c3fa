import { checkEngineSpeed, checkInput } from '../check-input.ts';
import { type Driven, EXACT, noHint, solveDriven } from '../driven-loop.ts';
import type { ExhaustModel } from '../exhaust-model.ts';
import { isShortOfGoal } from '../findings/boost-threshold.ts';
import { type LineModel, lineModel, type SpeedModel, speedModel } from '../line-model.ts';
import { mapEdges, once, solvePoint } from '../operating-line.ts';
import { coldGuesses } from '../solve-speed.ts';
import type { MatchInput } from '../types.ts';

/*
 * How long a turbo takes to spool up, for holding two against each other: at a constant engine speed, the gate shut, from a manifold
 * pressure to the goal. On the way every pressure is a balance of flows (compressor, engine, turbine), and what the turbine gives over
 * what compressor and bearing take speeds up the shaft and fills the charge path: J omega d(omega) + dh dm = (eta_m P_t - P_c) dt.
 *
 * Left out: pulses, heat that housings and manifold take up, the lag of throttle, fuel and gate, that lambda and spark are others on the
 * way, and that the compressor passes the air that fills the charge path besides what the engine draws (its speed is taken at the engine's
 * flow). They are the same kind of error for both, which is why two may be ranked more surely than either may be timed.
 */

export interface SpoolOptions {
  engineSpeedRpm: number;
  /** Manifold pressure at which it starts, absolute, Pa. */
  fromPa: number;
  /** Of the rotor of one turbo, kg m2, with its half width as a share. */
  inertiaKgM2: number;
  inertiaBand: number;
  /** From the compressor to the valves, of the engine, m3. */
  chargeVolumeM3: number;
}

export interface SpoolTime {
  status: 'ok';
  engineSpeedRpm: number;
  timeS: number;
  /** Half widths as shares: of the time itself; and of what is not the same for two turbos on one engine. */
  band: number;
  rankBand: number;
  fromPa: number;
  toPa: number;
  fromShaftRpm: number;
  toShaftRpm: number;
  /** Put into the rotor of one turbo, J; and into the air that fills its part of the charge path. */
  rotorJ: number;
  fillingJ: number;
}

/** Why there is no time. */
export type NoSpoolReason =
  | 'no-turbine'
  | 'bad-input'
  | 'no-goal' // no operating point at this engine speed
  | 'not-reached' // the shut gate does not drive the goal here
  | 'no-start' // the map has no answer where it starts, or the goal lies below
  | 'stalls'; // on the way the turbine gives no more than is taken

export interface NoSpool {
  status: NoSpoolReason;
  /** What stands in the way, one sentence; '' where the reason says it. */
  message: string;
}

export type Spool = SpoolTime | NoSpool;

/** Of a time of this kind, and of the ranking of two (from memory: common in simulations of the steady maps that this is). */
const TIME_BAND = 0.3;
const RANK_BAND = 0.15;
const STEPS = 40;
/** A start at which the map has no answer is looked for up to this share of the way. */
const LATEST_START = 0.35;

/** Energy, J, that turns a rotor from one speed to another. Speeds in rev/min, inertia in kg m2. */
export function rotorEnergy(inertiaKgM2: number, fromRpm: number, toRpm: number): number {
  const square = (rpm: number) => ((2 * Math.PI * rpm) / 60) ** 2;
  return (inertiaKgM2 / 2) * (square(toRpm) - square(fromRpm));
}

/**
 * The time from a manifold pressure to the goal at a constant engine speed; see above. An estimate with a band of 30 % and what the inertia
 * adds: for ranking, never a promise.
 *
 * @param input all SI, with a turbine
 * @returns the time of one turbo (of several equal ones all take as long), or why there is none; never throws
 */
export function solveSpool(input: MatchInput, options: SpoolOptions): Spool {
  const { engineSpeedRpm, inertiaKgM2, inertiaBand, chargeVolumeM3, fromPa } = options;
  if (input.turbine === undefined) return no('no-turbine');
  const problem = checkInput(input) ?? checkEngineSpeed(input, engineSpeedRpm) ?? checkOptions(options);
  const line = problem === null ? lineModel(input) : null;
  const made = line === null ? null : speedModel(line, engineSpeedRpm);
  if (line === null || !made?.ok || made.speed.exhaust === null) {
    return no('bad-input', problem ?? (made?.ok === false ? made.message : 'Check the inputs.'));
  }
  const { speed } = made;
  const goal = solvePoint(
    line,
    speed,
    once(() => mapEdges(input.compressor)),
  );
  if (goal.status !== 'ok') return no('no-goal', goal.message);
  if (isShortOfGoal(goal)) return no('not-reached');
  const toPa = goal.manifoldPressurePa / (goal.turbine?.heldBy === 'gate' ? goal.turbine.reachedShare : 1);
  const path = shutPath(line, speed, made.speed.exhaust, fromPa, toPa);
  if (path === null) return no('no-start');
  let timeS = 0;
  let fillingJ = 0;
  for (const [i, here] of path.entries()) {
    if (!(surplusOf(line, here) > 0)) return no('stalls');
    const before = path[i - 1];
    if (before === undefined) continue;
    const filled = fillingEnergy(line, chargeVolumeM3 / line.turbos, before, here);
    const spun = rotorEnergy(inertiaKgM2, shaftOf(line, before), shaftOf(line, here));
    fillingJ += filled;
    timeS += ((spun + filled) * (1 / surplusOf(line, before) + 1 / surplusOf(line, here))) / 2;
  }
  const [first, last] = [path[0]!, path[path.length - 1]!];
  const [fromShaftRpm, toShaftRpm] = [shaftOf(line, first), shaftOf(line, last)];
  const rotorJ = rotorEnergy(inertiaKgM2, fromShaftRpm, toShaftRpm);
  // What the inertia is off moves only the part of the time that spins up the rotor.
  const ofInertia = (inertiaBand * rotorJ) / (rotorJ + fillingJ);
  return {
    status: 'ok',
    engineSpeedRpm,
    timeS,
    band: Math.hypot(TIME_BAND, ofInertia),
    rankBand: Math.hypot(RANK_BAND / Math.SQRT2, ofInertia),
    fromPa: first.solution.state.manifoldPressurePa,
    toPa,
    fromShaftRpm,
    toShaftRpm,
    rotorJ,
    fillingJ,
  };
}

/** b against a: whether the times tell the two apart. The band of two is that of both together. */
export function rankSpool(a: SpoolTime, b: SpoolTime): { verdict: 'sooner' | 'later' | 'same'; band: number } {
  const band = Math.hypot(a.rankBand, b.rankBand);
  const ratio = b.timeS / a.timeS;
  if (Math.abs(Math.log(ratio)) <= Math.log1p(band)) return { verdict: 'same', band };
  return { verdict: ratio < 1 ? 'sooner' : 'later', band };
}

const no = (status: NoSpoolReason, message = ''): NoSpool => ({ status, message });

function checkOptions({ inertiaKgM2, chargeVolumeM3, fromPa }: SpoolOptions): string | null {
  if (!(inertiaKgM2 > 0 && inertiaKgM2 < 1)) return 'The inertia of the rotor must be above 0 and below 1 kg m2.';
  if (!(chargeVolumeM3 >= 0 && chargeVolumeM3 < 10)) return 'The volume of the charge path must be from 0 to 10 m3.';
  return fromPa > 0 ? null : 'The pressure at the start must be above 0.';
}

/** Balances with the gate shut at even steps of manifold pressure, the power left open; null where the way does not lie on the map. */
function shutPath(
  line: LineModel,
  speed: SpeedModel,
  exhaust: ExhaustModel,
  fromPa: number,
  toPa: number,
): readonly Driven[] | null {
  const hint = noHint();
  const path: Driven[] = [];
  for (let i = 0; i <= STEPS; i++) {
    const share = i / STEPS;
    const pressure = { kind: 'pressure', manifoldPressurePa: fromPa + share * (toPa - fromPa) } as const;
    const at = { ...speed, goal: pressure };
    if (hint.outletTemperatureK === 0) hint.outletTemperatureK = coldGuesses(line, at, 1)[0] ?? 0;
    const driven = solveDriven(line, at, exhaust, 'shut', hint, EXACT);
    if (driven.ok) path.push(driven);
    else if (path.length > 0 || share > LATEST_START) return null;
    else hint.outletTemperatureK = 0;
  }
  return toPa > fromPa && path.length > 1 ? path : null;
}

const shaftOf = (line: LineModel, { solution }: Driven) => solution.correctedSpeedRpm * line.speedFactor;

/** Power left over for the shaft, behind the bearing, W. */
const surplusOf = (line: LineModel, { expansion, neededPowerW }: Driven) =>
  (line.input.turbine?.mechanicalEfficiency ?? 1) * (expansion.powerW - neededPowerW);

/** Work on the air that a charge volume takes up between two pressures, J: its mass times what the compressor puts into each kilogram. */
function fillingEnergy(line: LineModel, volumeM3: number, before: Driven, here: Driven): number {
  const held = ({ solution: { state } }: Driven) =>
    (state.manifoldPressurePa * volumeM3) / (line.gas.gasConstant * state.manifoldTemperatureK);
  const work = ({ solution: { state } }: Driven) =>
    line.gas.enthalpy(state.outletTemperatureK) - line.inletEnthalpyJPerKg;
  return Math.max(0, held(here) - held(before)) * ((work(before) + work(here)) / 2);
}
