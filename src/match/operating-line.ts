import { mapMargins } from '../compressor/index.ts';
import type { CompressorSurface, FlowAndRatio } from '../compressor/types.ts';
import { brakePower, fuelMassFlow, injectorDuty, torque, wheelPower } from '../engine/index.ts';
import { checkEngineSpeed, checkInput } from './check-input.ts';
import { type Driven, type DrivenSolution, noHint, solveDriven } from './driven-loop.ts';
import type { ExhaustModel } from './exhaust-model.ts';
import { gateArea, isOverOpen, openingOf, solveOpen } from './gate-open.ts';
import { highestPressure, type LineModel, lineModel, type SpeedModel, speedModel } from './line-model.ts';
import { type SpeedSolution, solveSpeed } from './solve-speed.ts';
import { solveShut } from './turbine-limited.ts';
import type {
  MatchInput,
  NoPointReason,
  OperatingPoint,
  OperatingPointMissing,
  OperatingPointSolved,
  TurbineState,
} from './types.ts';

type Side = 'left-of-map' | 'right-of-map' | 'above-map';

/** The edges of a map, sampled once, to tell on which side a demand lies that the surface has no answer for. */
export interface MapEdges {
  surge: readonly FlowAndRatio[];
  choke: readonly FlowAndRatio[];
}

const SAMPLES = 16;

export function mapEdges(surface: CompressorSurface): MapEdges {
  const surge: FlowAndRatio[] = [];
  const choke: FlowAndRatio[] = [];
  for (let i = 0; i <= SAMPLES; i++) {
    const speed = surface.lowestAnswerRpm + ((surface.highestAnswerRpm - surface.lowestAnswerRpm) * i) / SAMPLES;
    const left = surface.surgeAt(speed);
    const right = surface.chokeAt(speed);
    if (left !== null) surge.push(left);
    if (right !== null) choke.push(right);
  }
  return { surge, choke };
}

/**
 * More flow than any line passes: 'right-of-map', whatever the pressure ratio. Left of the surge end at its pressure ratio:
 * 'left-of-map'. Right of the choke end at its pressure ratio: 'right-of-map'. Else it is the pressure ratio that the map does not hold.
 */
export function sideOfMap(edges: MapEdges, correctedMassFlowKgPerS: number, pressureRatio: number): Side {
  const W = correctedMassFlowKgPerS;
  const most = Math.max(...edges.choke.map((point) => point.correctedMassFlowKgPerS));
  if (edges.choke.length > 0 && W > most) return 'right-of-map';
  const left = edgeFlow(edges.surge, pressureRatio);
  if (left !== null && W < left) return 'left-of-map';
  const top = edges.choke[edges.choke.length - 1];
  // Over the choke end of the top line there is no choke end to be right of.
  if (top === undefined || pressureRatio > top.pressureRatio) return 'above-map';
  const right = edgeFlow(edges.choke, pressureRatio);
  return right !== null && W > right ? 'right-of-map' : 'above-map';
}

/** Flow of an edge at a pressure ratio; past its upper end it goes on as flow ~ sqrt(PR - 1), the shape of a throttle line. */
function edgeFlow(edge: readonly FlowAndRatio[], pressureRatio: number): number | null {
  const first = edge[0];
  const last = edge[edge.length - 1];
  if (first === undefined || last === undefined) return null;
  if (pressureRatio <= first.pressureRatio) return first.correctedMassFlowKgPerS;
  let below = first;
  for (const point of edge) {
    if (point.pressureRatio >= pressureRatio) {
      const rise = point.pressureRatio - below.pressureRatio;
      const share = rise > 0 ? (pressureRatio - below.pressureRatio) / rise : 1;
      return below.correctedMassFlowKgPerS + share * (point.correctedMassFlowKgPerS - below.correctedMassFlowKgPerS);
    }
    below = point;
  }
  const base = Math.max(last.pressureRatio - 1, 1e-6);
  return last.correctedMassFlowKgPerS * Math.sqrt(Math.max(1, (pressureRatio - 1) / base));
}

/** One plain sentence for each reason but 'bad-input', whose sentence names the number. */
export const REASON_MESSAGES: Readonly<Record<Exclude<NoPointReason, 'bad-input'>, string>> = {
  'left-of-map':
    'The goal asks for more pressure than this compressor holds at so little flow: far left of its surge line.',
  'right-of-map':
    'The goal asks for more flow than this compressor passes at this pressure ratio: past the choke end of the map.',
  'above-map': 'The goal asks for more pressure ratio than the map and its extension hold.',
  'no-compression': 'The engine reaches this goal without the compressor: the pressure ratio would be 1 or less.',
  'inlet-exhausted':
    'The loss of the inlet path takes more than half of the ambient pressure at this flow: check the inlet loss.',
  'unreachable-goal': 'No manifold pressure reaches this goal: more of it only makes the charge hotter.',
  'no-efficiency':
    'The map gives no efficiency here: enter islands or efficiencies of points, or an assumed efficiency.',
  'turbine-too-weak':
    'The exhaust drives no boost that this map answers for: the turbine is too large, or the engine gives too little gas.',
  'gate-too-small':
    'With the wastegate wide open the boost creeps beyond what this map answers for: the gate is far too small.',
  'exhaust-blocked':
    'The turbine does not pass the exhaust of this engine at any back-pressure it can breathe against: check its capacity and the exhaust loss.',
  'not-converged': 'No steady point was found: the map jumps here; check its lines and islands with the audit.',
};

type Solution = Extract<SpeedSolution, { ok: true }>;

/** Everything that a point reports, from the solved loop without a turbine: powers, shaft speed and margins. */
export function solvedPoint(line: LineModel, speed: SpeedModel, solution: Solution): OperatingPointSolved {
  return compressorSide(line, speed, solution);
}

/**
 * The same with the turbine in balance.
 * @param heldBy what holds the point: the gate, or the turbine or the gate at its end
 * @param goalAreaM2 what the gate must open to hold the goal, where the point is not at the goal
 */
export function drivenPoint(
  line: LineModel,
  speed: SpeedModel,
  exhaust: ExhaustModel,
  driven: Driven,
  heldBy: TurbineState['heldBy'],
  goalAreaM2: number | null = gateArea(exhaust, driven),
): OperatingPointSolved {
  // Set, not spread: copying thirty fields costs more than solving for them.
  const point = compressorSide(line, speed, driven.solution);
  point.turbineInletPressurePa = driven.inletPressurePa;
  point.backPressureRatio = driven.backPressureRatio;
  point.expansionRatio = driven.expansion.ratio;
  point.wastegateShare = driven.wastegateShare;
  point.turbine = turbineState(line, speed, exhaust, driven, heldBy);
  point.turbine.gateAreaM2 = goalAreaM2;
  point.turbine.gateOpening = openingOf(exhaust, goalAreaM2);
  return point;
}

function turbineState(
  line: LineModel,
  speed: SpeedModel,
  exhaust: ExhaustModel,
  driven: Driven,
  heldBy: TurbineState['heldBy'],
): TurbineState {
  const { expansion } = driven;
  const { capacity } = exhaust.turbine;
  const reducedSpeed = (driven.solution.correctedSpeedRpm * line.speedFactor) / exhaust.rootRT;
  const { goal } = speed;
  const { manifoldPressurePa, airMassFlowKgPerS } = driven.solution.state;
  const reached =
    goal.kind === 'pressure'
      ? manifoldPressurePa / goal.manifoldPressurePa
      : airMassFlowKgPerS / goal.airMassFlowKgPerS;
  const outletEnthalpy = exhaust.enthalpyJPerKg - expansion.efficiency * expansion.isentropicDropJPerKg;
  return {
    heldBy,
    reachedShare: heldBy === 'goal' ? 1 : reached,
    gateAreaM2: null,
    gateOpening: null,
    inletTemperatureK: exhaust.temperatureK,
    temperatureEstimated: exhaust.temperatureEstimated,
    outletPressurePa: driven.outletPressurePa,
    outletTemperatureK: exhaust.gas.temperatureAtEnthalpy(outletEnthalpy, exhaust.temperatureK) ?? exhaust.temperatureK,
    massFlowKgPerS: expansion.massFlowKgPerS,
    flowParameterM2: expansion.flowParameterM2,
    reducedSpeed,
    efficiency: expansion.efficiency,
    speedRatio: expansion.speedRatio,
    powerW: expansion.powerW,
    choked: capacity.isChoked(expansion.ratio, reducedSpeed),
    extended: capacity.isExtended(expansion.ratio, reducedSpeed),
    breathingFactor: driven.breathingFactor,
  };
}

/** A speed within this of the lowest line is on it: the pass tolerance of the fit. */
const ON_LINE = 0.003;

function compressorSide(line: LineModel, speed: SpeedModel, solution: Solution): OperatingPointSolved {
  const { input, gas, fuel } = line;
  const { state } = solution;
  const W = state.airMassFlowKgPerS * line.turbos;
  const fuelFlow = fuelMassFlow(W * line.dryShare, speed.lambda, fuel.stoichiometricAirFuelRatio);
  const brakePowerW = brakePower(fuelFlow, speed.bsfcKgPerJ);
  const supply = input.engine.fuelSupply;
  const duty = supply && injectorDuty(supply, fuel, fuelFlow, state.manifoldPressurePa, input.ambient.pressurePa);
  const { correctedSpeedRpm } = solution;
  const shaftSpeedRpm = correctedSpeedRpm * line.speedFactor;
  const { exducerMm } = input.compressor.wheel;
  const limit = shaftSpeedLimit(input);
  const margins = mapMargins(input.compressor, correctedSpeedRpm, state.correctedMassFlowKgPerS, state.pressureRatio);
  return {
    engineSpeedRpm: speed.engineSpeedRpm,
    status: 'ok',
    region: solution.surface.region,
    extended: solution.surface.extended,
    belowLowestLine: correctedSpeedRpm < input.compressor.lowestLineRpm * (1 - ON_LINE),
    efficiencyAssumed: solution.efficiencyAssumed,
    airMassFlowKgPerS: W,
    correctedMassFlowKgPerS: state.correctedMassFlowKgPerS,
    pressureRatio: state.pressureRatio,
    efficiency: solution.efficiency,
    compressorInletPressurePa: state.inletPressurePa,
    compressorInletTemperatureK: line.inletTemperatureK,
    compressorOutletTemperatureK: state.outletTemperatureK,
    compressorOutletPressurePa: state.outletPressurePa,
    manifoldTemperatureK: state.manifoldTemperatureK,
    manifoldPressurePa: state.manifoldPressurePa,
    fuelMassFlowKgPerS: fuelFlow,
    brakePowerW,
    wheelPowerW: wheelPower(brakePowerW, input.engine.drivelineLoss),
    torqueNm: torque(brakePowerW, speed.engineSpeedRpm),
    compressorPowerW: state.airMassFlowKgPerS * (gas.enthalpy(state.outletTemperatureK) - line.inletEnthalpyJPerKg),
    injectorDuty: duty?.ok ? duty.duty : null,
    correctedSpeedRpm,
    shaftSpeedRpm,
    tipSpeedMPerS: exducerMm === undefined ? null : (Math.PI * (exducerMm / 1000) * shaftSpeedRpm) / 60,
    speedMargin: limit === undefined ? null : 1 - shaftSpeedRpm / limit,
    surgeMargin: margins.surgeMargin,
    surgeFlowDistance: margins.surgeFlowDistance,
    chokeMargin: margins.chokeMargin,
    turbineInletPressurePa: null,
    backPressureRatio: null,
    expansionRatio: null,
    wastegateShare: null,
    turbine: null,
  };
}

/** The limit entered for this turbo, else the one on the map's sheet. */
export function shaftSpeedLimit(input: LineModel['input']): number | undefined {
  return input.limits.shaftSpeedRpm ?? input.compressor.limits.shaftSpeedRpm;
}

/**
 * The full-load line: for every engine speed the closed loop of flow, losses, outlet pressure, efficiency and charge temperature,
 * solved to better than 1e-6 relative, with a turbine through the exhaust as well. Each speed is solved by itself: what stands beside it
 * changes nothing. It always ends and never throws.
 *
 * @param input all SI, see MatchInput
 * @returns one entry for each of `input.engineSpeedsRpm`, in their order: a point, or the named reason why there is none with one
 *   plain sentence and, where it is known, the flow and pressure ratio that the goal asked for (off the map they are worked out with
 *   an efficiency of 0.70, or with that at which the loop leaves the map, and with a turbine against a p3/p_m of 1.15: both move them by a
 *   few percent)
 */
export function solveOperatingLine(input: MatchInput): OperatingPoint[] {
  const problem = checkInput(input);
  if (problem !== null) return input.engineSpeedsRpm.map((rpm) => badInput(rpm, problem));
  const line = lineModel(input);
  if (line === null) return input.engineSpeedsRpm.map((rpm) => badInput(rpm, 'Humidity is impossible: check it.'));
  const edges = once(() => mapEdges(input.compressor));
  return input.engineSpeedsRpm.map((rpm) => pointAt(line, rpm, edges));
}

function pointAt(line: LineModel, engineSpeedRpm: number, edges: () => MapEdges): OperatingPoint {
  const problem = checkEngineSpeed(line.input, engineSpeedRpm);
  if (problem !== null) return badInput(engineSpeedRpm, problem);
  const made = speedModel(line, engineSpeedRpm);
  return made.ok ? solvePoint(line, made.speed, edges) : badInput(engineSpeedRpm, made.message);
}

/**
 * The point of one engine speed whose input has been checked, or the named reason why there is none. It starts from nothing: from a
 * neighbour's answer the digits, and near the edge of the map even the reason, would depend on which speeds were solved before.
 */
export function solvePoint(line: LineModel, speed: SpeedModel, edges: () => MapEdges): OperatingPoint {
  if (speed.exhaust !== null) return solveWithTurbine(line, speed, speed.exhaust, edges);
  const solution = solveSpeed(line, speed);
  return solution.ok ? solvedPoint(line, speed, solution) : missing(speed.engineSpeedRpm, solution, edges);
}

/**
 * A manifold pressure as if the exhaust drove it: for studies that look for the highest one that it does.
 * @param speed its goal a manifold pressure
 * @returns the point, its wastegate share below 0 where the turbine would need more exhaust than there is; or the named reason
 */
export function solveAtPressure(line: LineModel, speed: SpeedModel, edges: () => MapEdges): OperatingPoint {
  if (speed.exhaust === null) return solvePoint(line, speed, edges);
  const driven = solveDriven(line, speed, speed.exhaust, 'gate', noHint());
  if (!driven.ok) return missing(speed.engineSpeedRpm, driven, edges);
  return drivenPoint(line, speed, speed.exhaust, driven, 'goal');
}

/** Reasons that the goal has no point for which a lower boost may still be one that the exhaust drives. */
const MAY_BE_LOWER: ReadonlySet<string> = new Set([
  'off-map',
  'unreachable-goal',
  'not-converged',
  'exhaust-blocked',
  'inlet-exhausted',
]);

/** A goal that the exhaust drives; or one of so little boost that the compressor has nothing to do, or is choked. */
function mayCreep(line: LineModel, atGoal: DrivenSolution, edges: () => MapEdges): boolean {
  if (atGoal.ok) return atGoal.wastegateShare >= 0;
  if (line.input.turbine?.gateAreaM2 === undefined) return false;
  const { correctedMassFlowKgPerS, pressureRatio } = atGoal.state;
  return (
    atGoal.reason === 'no-compression' ||
    (atGoal.reason === 'off-map' && sideOfMap(edges(), correctedMassFlowKgPerS, pressureRatio) === 'right-of-map')
  );
}

/** The goal where the gate holds it; else what the shut gate reaches, or what the open one leaves. */
function solveWithTurbine(
  line: LineModel,
  speed: SpeedModel,
  exhaust: ExhaustModel,
  edges: () => MapEdges,
): OperatingPoint {
  const hint = noHint();
  const atGoal = solveDriven(line, speed, exhaust, 'gate', hint);
  if (atGoal.ok && atGoal.wastegateShare >= 0 && !isOverOpen(exhaust, atGoal))
    return drivenPoint(line, speed, exhaust, atGoal, 'goal');
  const open = mayCreep(line, atGoal, edges) ? solveOpen(line, speed, exhaust, atGoal, hint) : null;
  if (open?.ok) {
    const goalAreaM2 = atGoal.ok ? gateArea(exhaust, atGoal) : null;
    return drivenPoint(line, speed, exhaust, open.driven, 'gate', goalAreaM2);
  }
  if (open?.ok === false) return missing(speed.engineSpeedRpm, open, edges);
  if (!atGoal.ok && !MAY_BE_LOWER.has(atGoal.reason)) return missing(speed.engineSpeedRpm, atGoal, edges);
  const state = atGoal.ok ? atGoal.solution.state : atGoal.state;
  // A power that no pressure reaches stopped the search somewhere: look from well above there. No goal is looked for far above the map.
  const topPa = highestPressure(line);
  const wantedPa = state.manifoldPressurePa * (!atGoal.ok && atGoal.reason === 'unreachable-goal' ? 1.5 : 1);
  const fromPa = atGoal.ok ? wantedPa : Math.min(topPa, wantedPa);
  const shut = solveShut(line, speed, exhaust, fromPa, atGoal.ok, hint);
  if (shut.ok) return drivenPoint(line, speed, exhaust, shut.driven, 'turbine');
  const isTooWeak = atGoal.ok || shut.reason === 'too-weak';
  const failed = isTooWeak ? ({ ok: false, reason: 'turbine-too-weak', state } as const) : atGoal;
  return missing(speed.engineSpeedRpm, failed, edges);
}

function missing(
  engineSpeedRpm: number,
  solution: Extract<SpeedSolution, { ok: false }>,
  edges: () => MapEdges,
): OperatingPointMissing {
  const { correctedMassFlowKgPerS, pressureRatio } = solution.state;
  const known = Number.isFinite(correctedMassFlowKgPerS) && Number.isFinite(pressureRatio);
  const reason =
    solution.reason === 'off-map' ? sideOfMap(edges(), correctedMassFlowKgPerS, pressureRatio) : solution.reason;
  if (reason === 'bad-input') return badInput(engineSpeedRpm, 'A number is missing or impossible.');
  // In these two the state is where the search stopped, not what the goal asks for.
  const isDemand = known && reason !== 'inlet-exhausted' && reason !== 'unreachable-goal';
  const point = { engineSpeedRpm, status: reason, message: REASON_MESSAGES[reason] };
  return isDemand ? { ...point, demand: { correctedMassFlowKgPerS, pressureRatio } } : point;
}

function badInput(engineSpeedRpm: number, message: string): OperatingPointMissing {
  return { engineSpeedRpm, status: 'bad-input', message };
}

/** The edges cost a sixteenth of a line and are needed only for demands off the map. */
export function once<T>(make: () => T): () => T {
  let made: T | undefined;
  return () => {
    made ??= make();
    return made;
  };
}
