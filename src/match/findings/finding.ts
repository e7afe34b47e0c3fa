import type { HighestValues } from '../limits.ts';
import type { Finding, NoPointReason, OperatingPoint } from '../types.ts';

/**
 * Every code a finding may carry, with the severities it comes in and the numbers in `values` (SI). `engineSpeedRpm` is where it is
 * worst; `rangeRpm` the run of neighbouring engine speeds over which it holds. Findings come worst first.
 */
export interface FindingValues extends HighestValues {
  /** stop. Shaft faster than the limit. margin = 1 - N/Nmax, below 0. */
  overspeed: { shaftSpeedRpm: number; limitRpm: number; margin: number };
  /** caution. Under the limit but within the reserve; reserve 0..0.5. */
  'speed-reserve': { shaftSpeedRpm: number; limitRpm: number; margin: number; reserve: number };
  /** note. No maximum shaft speed entered: nothing can be said about overspeed. */
  'no-speed-limit': { shaftSpeedRpm: number };
  /** stop. Left of the surge line; surgeMargin below 0, or absent where the surge end is not known. */
  'left-of-surge': { surgeMargin?: number | undefined; correctedMassFlowKgPerS: number; pressureRatio: number };
  /** caution. Right of the surge line, by less than the margin asked for. */
  'surge-margin': { surgeMargin: number; leastMargin: number };
  /** stop. Beyond the choke end of the speed line; chokeMargin below 0, or absent. */
  choked: { chokeMargin?: number | undefined; correctedMassFlowKgPerS: number; pressureRatio: number };
  /**
   * caution, never what a match is judged by. Slower than the lowest speed line, left of the surge line or past the choke end that similarity
   * guesses there, or nearer than the margin asked for; the margins that the guess gives, absent where they are kept or not known.
   */
  'edge-guessed': {
    surgeMargin?: number | undefined;
    chokeMargin?: number | undefined;
    correctedSpeedRpm: number;
    lowestLineRpm: number;
  };
  /** caution. */
  'choke-margin': { chokeMargin: number; leastMargin: number };
  /** stop over 1 (cannot be delivered), caution over the duty limit. */
  'injector-duty': { duty: number; dutyLimit: number };
  /** stop. Rail pressure leaves no pressure difference across the injector. */
  'injector-pressure': { pressureDifferencePa: number };
  /** stop. */
  'pump-flow': { flowM3PerS: number; pumpFlowM3PerS: number };
  /**
   * note. What injectors and pump must give at least over the whole line. injectorFlowM3PerS: of one, at its rated pressure, for the duty
   * limit. The pump's flow is the line's highest, with the pressure that the rail has over ambient there.
   */
  'fuel-needed': {
    injectorCount: number;
    injectorFlowM3PerS: number;
    ratedPressurePa: number;
    dutyLimit: number;
    pumpFlowM3PerS: number;
    pumpPressurePa: number;
  };
  /** note. A fuel supply is entered that the check does not cover (a gaseous fuel). */
  'fuel-supply-not-checked': Record<string, never>;
  /** caution above the top line, note below the lowest. */
  'map-extended-above': { correctedSpeedRpm: number; highestLineRpm: number };
  'map-extended-below': { correctedSpeedRpm: number; lowestLineRpm: number };
  /** caution. Between the entered lines' speeds, but past their points. */
  'map-extended': { correctedMassFlowKgPerS: number; pressureRatio: number };
  /** caution. */
  'efficiency-assumed': { efficiency: number };
  /**
   * caution. The map is another wheel's, scaled. Bands as half widths (shares; efficiency in points); trimDifference in points of trim,
   * absent where a trim is not known; sizeRatio of the wheel over that of the donor.
   */
  'map-estimated': {
    surgeFlowBand: number;
    chokeFlowBand: number;
    pressureRatioBand: number;
    efficiencyBand: number;
    correctedSpeedBand: number;
    sizeRatio: number;
    trimDifference?: number | undefined;
  };
  /**
   * caution. Over the boost threshold the gate is shut and the goal is not reached. choked: 1, or absent where more expansion would bring
   * more flow.
   */
  'turbine-limited': ReachedValues & { choked?: number | undefined };
  /** caution. No engine speed over heldRpm (absent: none at all) and up to highestRpm holds the full goal; what is reached where it is worst. */
  'turbine-never-holds': ReachedValues & { highestRpm: number; heldRpm?: number | undefined };
  /**
   * note. From thresholdRpm up the exhaust holds the goal; what is reached at shortRpm, where it falls farthest short. engineSpeedRpm is
   * the first that holds, rangeRpm what lies under it. below: 1 where the lowest engine speed holds it already.
   */
  'boost-threshold': Partial<ReachedValues> & {
    thresholdRpm: number;
    shortRpm?: number | undefined;
    below?: number | undefined;
  };
  /** caution where the gate is shut or there is none, else note. More expansion brings no more flow parameter. */
  'turbine-choked': { expansionRatio: number; turbineInletPressurePa: number };
  /** caution. No gate, but this share of the exhaust would have to go past the turbine: the boost rises over the goal. */
  'no-gate': { wastegateShare: number };
  /**
   * stop. The gate is wide open and the boost creeps over the goal; what is reached where it is worst. neededM2: the effective area that would
   * hold the goal there (absent: none would, the goal asks for no compression); areaM2: the one that there is. Areas are those of one turbo;
   * turbos: how many there are, absent for one.
   */
  'gate-creep': ReachedValues & { neededM2?: number | undefined; areaM2: number; turbos?: number | undefined };
  /** caution. The goal is held with the gate so far open that a flow coefficient a little lower would let the boost creep. */
  'gate-nearly-open': { opening: number; neededM2: number; areaM2: number; turbos?: number | undefined };
  /** note. Where the gate must open furthest; areaM2 absent: none is entered, and whether it can is not checked. */
  'gate-area': { neededM2: number; areaM2?: number | undefined; turbos?: number | undefined };
  /** caution. At peak power the goal is held with next to nothing past the turbine. */
  'gate-nearly-shut': { wastegateShare: number };
  /** note. At peak power; what the turbine could take more. */
  'wastegate-flow-fraction': { wastegateShare: number };
  /** caution. The capacity is estimated from measurements; half width as a share. */
  'turbine-estimated': { band: number };
  /** caution past the last expansion ratio entered (lastExpansionRatio), note elsewhere outside the points (absent). */
  'turbine-extended': { expansionRatio: number; lastExpansionRatio?: number | undefined };
  /** caution. Hotter than usual materials bear, and no limit is entered. estimated: 1, or absent where the temperature was entered. */
  'turbine-heat': { temperatureK: number; estimated?: number | undefined };
  /** note. Estimated by the engine's energy balance; lowest and highest of the line. */
  'turbine-temperature-estimated': { lowestK: number; highestK: number };
  /** note. No turbine data: nothing can be said of threshold, back-pressure and whether the exhaust drives this boost. */
  'no-turbine': Record<string, never>;
  /** caution. Brake thermal efficiency = 1 / (bsfc LHV) that no engine of the kind reaches: bsfc or its unit is probably wrong. */
  'bsfc-implausible': { thermalEfficiency: number; bsfcKgPerJ: number };
  /** note. A curve is held at its end value because its points do not reach this engine speed. */
  'curve-held-volumetric-efficiency': CurveHeld;
  'curve-held-lambda': CurveHeld;
  'curve-held-bsfc': CurveHeld;
  'curve-held-goal': CurveHeld;
  'curve-held-turbine-temperature': CurveHeld;
  /** note. Port injection of a fuel that does not evaporate there is computed as direct. */
  'port-diesel-as-direct': Record<string, never>;
  /** note. The charge is cooled below its dew point: water comes out, which the computation leaves in the gas. */
  'water-condenses': { manifoldTemperatureK: number; dewPointRatio: number };
  /** note. */
  'peak-power': { brakePowerW: number; wheelPowerW: number };
  'peak-torque': { torqueNm: number };
  'peak-shaft-speed': { shaftSpeedRpm: number };
  /** note. Where p3/p_m is highest. caution, unusual 1: more than engines are usually run at, and no limit entered. */
  'peak-back-pressure': {
    turbineInletPressurePa: number;
    backPressureRatio: number;
    expansionRatio: number;
    unusual?: number | undefined;
  };
  /**
   * good. Every engine speed has a point and every limit that was entered holds with its margin; with a turbine the goal is held from
   * thresholdRpm up (absent: everywhere). backPressureRatio is the highest of the line, wastegateShare that at peak power.
   */
  'within-limits': {
    points: number;
    speedMargin?: number | undefined;
    surgeMargin?: number | undefined;
    chokeMargin?: number | undefined;
    thresholdRpm?: number | undefined;
    backPressureRatio?: number | undefined;
    wastegateShare?: number | undefined;
  };
}

/** How much of the goal is reached and what was asked for, in the goal's own quantity; the others are absent. Boost is gauge. */
export interface ReachedValues {
  reachedShare: number;
  boostPa?: number | undefined;
  goalBoostPa?: number | undefined;
  pressurePa?: number | undefined;
  goalPressurePa?: number | undefined;
  brakePowerW?: number | undefined;
  goalBrakePowerW?: number | undefined;
  wheelPowerW?: number | undefined;
  goalWheelPowerW?: number | undefined;
}

export interface CurveHeld {
  firstPointRpm: number;
  lastPointRpm: number;
  value: number;
}

/**
 * stop, but 'no-point-no-compression' is a note: the engine draws that much by itself; and so is 'no-point-turbine-too-weak' under the
 * boost threshold. `values` hold correctedMassFlowKgPerS and
 * pressureRatio of the demand where it is known, and points, how many engine speeds the run holds.
 */
export type NoPointCode = `no-point-${NoPointReason}`;

export type FindingCode = keyof FindingValues | NoPointCode;

/** Neighbouring engine speeds over which the same thing holds. */
export interface Run<P extends OperatingPoint> {
  points: readonly P[];
  rangeRpm: readonly [number, number];
}

/**
 * Splits a line, sorted by engine speed, into runs for which `key` gives the same answer; where it gives null there is no run.
 */
export function runsOf<P extends OperatingPoint>(
  points: readonly OperatingPoint[],
  key: (point: OperatingPoint) => { key: string; point: P } | null,
): { key: string; run: Run<P> }[] {
  const runs: { key: string; points: P[] }[] = [];
  let open: { key: string; points: P[] } | null = null;
  for (const point of points) {
    const hit = key(point);
    if (hit === null) {
      open = null;
    } else if (open !== null && open.key === hit.key) {
      open.points.push(hit.point);
    } else {
      open = { key: hit.key, points: [hit.point] };
      runs.push(open);
    }
  }
  return runs.map(({ key, points: members }) => ({ key, run: { points: members, rangeRpm: rangeOf(members) } }));
}

/** The first engine speed of neighbouring points and the last. */
export function rangeOf(points: readonly OperatingPoint[]): readonly [number, number] {
  return [points[0]?.engineSpeedRpm ?? 0, points[points.length - 1]?.engineSpeedRpm ?? 0];
}

/** The member with the highest score. */
export function worstOf<P>(points: readonly P[], score: (point: P) => number): P {
  let worst = points[0] as P;
  for (const point of points) if (score(point) > score(worst)) worst = point;
  return worst;
}

/** The numbers that go with a code. */
export type ValuesOf<C extends FindingCode> = C extends keyof FindingValues ? FindingValues[C] : Record<string, number>;

/** A finding whose values are those that its code promises. */
export function finding<C extends FindingCode>(
  severity: Finding['severity'],
  code: C,
  values: ValuesOf<C>,
  place: { engineSpeedRpm?: number; rangeRpm?: readonly [number, number] } = {},
): Finding & { code: C } {
  // Values that are absent stay out, so that nobody prints 'undefined'.
  const known: Record<string, number> = {};
  for (const name in values) {
    const value = values[name] as number | undefined;
    if (value !== undefined) known[name] = value;
  }
  return { severity, code, ...place, values: known };
}
