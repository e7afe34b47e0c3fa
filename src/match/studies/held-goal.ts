import { bladePassFrequency } from '../../compressor/index.ts';
import { evaluateCurve, findRoot } from '../../numerics/index.ts';
import type { Curve } from '../../numerics/types.ts';
import { crossedLimit, type HeldLimits, heldLimits, limitSlack, studyLimits } from '../held-limits.ts';
import { solveOperatingLine } from '../operating-line.ts';
import type { GoalKind, MatchInput, OperatingPoint } from '../types.ts';
import { inputAt, ownPlace, standardPlace } from './places.ts';
import type {
  AltitudeCrossing,
  AltitudeRange,
  CalibrationCell,
  CalibrationOptions,
  CalibrationShaft,
  CalibrationTable,
  Ceiling,
  CeilingFound,
  CeilingTable,
  ControllerComparison,
  HeldCell,
  HeldGoal,
  HoldOptions,
  Place,
  SteppedPressure,
} from './types.ts';

const STEP_M = 250;
const RESOLUTION_M = 0.5;

/** For each engine speed of the study the altitudes at which holding its goal begins and ceases to keep the limits. */
export function solveCrossings(study: MatchInput, held: HeldLimits, range: AltitudeRange): AltitudeCrossing[] {
  const lineAt = (altitudeM: number, engineSpeedsRpm: readonly number[]): OperatingPoint[] => {
    const made = standardPlace(altitudeM, range.rule);
    if (made.ok) return solveOperatingLine({ ...inputAt(study, made.place.ambient), engineSpeedsRpm });
    return engineSpeedsRpm.map((engineSpeedRpm) => ({ engineSpeedRpm, status: 'bad-input', message: made.message }));
  };
  const altitudes = grid(range.fromM, range.toM);
  const lines = altitudes.map((altitudeM) => lineAt(altitudeM, study.engineSpeedsRpm));
  return study.engineSpeedsRpm.map((rpm, k) => {
    const slacks = lines.map((line) => limitSlack(line[k]!, held));
    const pointAt = (altitudeM: number) => lineAt(altitudeM, [rpm])[0]!;
    const changes = signChanges(altitudes, slacks, (altitudeM) => limitSlack(pointAt(altitudeM), held));
    const crossedAt = (altitudeM: number): Crossed => {
      const point = pointAt(altitudeM);
      const limit = crossedLimit(point, held);
      const isEdge = limit === 'surge-margin' || limit === 'choke-margin';
      return { limit, isGuess: isEdge && point.status === 'ok' && point.belowLowestLine };
    };
    return crossing(rpm, altitudes, slacks, changes, crossedAt);
  });
}

/**
 * The lowest of the crossings, or null where every engine speed holds. Engine speeds that the boost threshold passes, and those that cross a
 * guess, say nothing about how far up the goal can be held: they are passed over, unless there are no others.
 */
export function firstCrossing(crossings: readonly AltitudeCrossing[]): AltitudeCrossing | null {
  const under = speedsUnderThreshold(crossings);
  const asked = crossings.filter(({ engineSpeedRpm, isGuess }) => !under.has(engineSpeedRpm) && !isGuess);
  return lowestCrossing(asked.length === 0 ? crossings : asked);
}

/** null where every one holds. */
export function lowestCrossing(crossings: readonly AltitudeCrossing[]): AltitudeCrossing | null {
  const crossed = crossings.filter(({ altitudeM }) => altitudeM !== null);
  return crossed.toSorted((a, b) => a.altitudeM! - b.altitudeM!)[0] ?? null;
}

function grid(fromM: number, toM: number): number[] {
  const steps = Math.max(1, Math.ceil((toM - fromM) / STEP_M));
  return Array.from({ length: steps + 1 }, (_, i) => fromM + ((toM - fromM) * i) / steps);
}

function signChanges(
  altitudes: readonly number[],
  slacks: readonly number[],
  slackAt: (altitudeM: number) => number,
): number[] {
  const changes: number[] = [];
  for (let i = 1; i < altitudes.length; i++) {
    if (slacks[i]! < 0 === slacks[i - 1]! < 0) continue;
    const root = findRoot(slackAt, altitudes[i - 1]!, altitudes[i]!, { xTolerance: RESOLUTION_M });
    changes.push(root.ok ? root.value : altitudes[i]!);
  }
  return changes;
}

type Crossed = Pick<AltitudeCrossing, 'limit' | 'isGuess'>;

function crossing(
  engineSpeedRpm: number,
  altitudes: readonly number[],
  slacks: readonly number[],
  changes: readonly number[],
  crossedAt: (altitudeM: number) => Crossed,
): AltitudeCrossing {
  const [from, to] = [altitudes[0]!, altitudes[altitudes.length - 1]!];
  const holdsFirst = slacks[0]! >= 0;
  const ends = [from, ...changes, to];
  const holdsBetweenM: (readonly [number, number])[] = [];
  for (let i = holdsFirst ? 0 : 1; i + 1 < ends.length; i += 2) holdsBetweenM.push([ends[i]!, ends[i + 1]!]);
  const base = { engineSpeedRpm, holdsBetweenM };
  if (!holdsFirst) return { ...base, status: 'from-lowest', altitudeM: from, ...crossedAt(from) };
  const altitudeM = changes[0];
  if (altitudeM === undefined) return { ...base, status: 'holds', altitudeM: null, limit: null, isGuess: false };
  // A little higher, where it is surely crossed: the root itself lies within half a metre on either side.
  return { ...base, status: 'crossed', altitudeM, ...crossedAt(Math.min(to, altitudeM + 4 * RESOLUTION_M)) };
}

/**
 * The engine speeds under the boost threshold, which rises with altitude: from the lowest up, those at which the exhaust does not drive the
 * goal at the lowest altitude or ceases to on the way up. They say where the boost begins, not how far up the goal can be held: the
 * threshold creeps past one engine speed after the other from the first metre on.
 *
 * @returns engine speeds; none where the lowest one that holds a limit at the lowest altitude is stopped by another limit, or none
 */
export function speedsUnderThreshold(crossings: readonly AltitudeCrossing[]): ReadonlySet<number> {
  const under = new Set<number>();
  for (const { engineSpeedRpm, status, limit } of crossings.toSorted((a, b) => a.engineSpeedRpm - b.engineSpeedRpm)) {
    const isTurbine = limit === 'turbine' || limit === 'turbine-too-weak';
    if (isTurbine) under.add(engineSpeedRpm);
    // Deep in surge at every altitude is another matter, and does not hide the threshold above it.
    else if (status !== 'from-lowest') break;
  }
  return under;
}

/**
 * Holds the goal of an input at every place: the operating points, which limit is crossed where, and the altitude at which holding it
 * first crosses one. A gauge goal is held against each place's own ambient pressure, an absolute or a power goal as it stands. One call a
 * candidate.
 *
 * @param input all SI; its ambient is replaced by each place's, an air-cooled cooler keeping its rise over ambient
 * @param options `altitude` asks for the crossings, exact to a metre; two crossings less than 250 m apart may pass unseen
 * @returns `cells[place][engine speed]`; never NaN, never throws
 */
export function holdGoal(input: MatchInput, options: HoldOptions): HeldGoal {
  const { places, altitude } = options;
  const engineSpeedsRpm = options.engineSpeedsRpm ?? input.engineSpeedsRpm;
  const limits = studyLimits(input, options.limits);
  const held = heldLimits(input, limits);
  const study: MatchInput = { ...input, limits, engineSpeedsRpm };
  const cells = places.map((place) =>
    solveOperatingLine(inputAt(study, place.ambient)).map((point) => ({ point, crossed: crossedLimit(point, held) })),
  );
  const crossings = altitude === undefined ? [] : solveCrossings(study, held, altitude);
  const first = firstCrossing(crossings);
  return { goal: input.goal, places, engineSpeedsRpm, limits, cells, crossings, firstCrossing: first };
}

/**
 * What a boost controller that holds gauge pressure and one that holds absolute pressure do with the same target as the air gets
 * thinner. The target is the manifold pressure that the input's goal comes to at the first place, whatever kind of goal it is; both
 * controllers agree there, and part from there on.
 *
 * @param options the first of `places` is where the target is set; without any place it is the input's own
 */
export function compareControllers(input: MatchInput, options: HoldOptions): ControllerComparison {
  const home = options.places[0] ?? ownPlace(input);
  const asked = options.engineSpeedsRpm ?? input.engineSpeedsRpm;
  const line = solveOperatingLine({ ...inputAt(input, home.ambient), engineSpeedsRpm: asked });
  const targets = line.filter((point) => point.status === 'ok');
  const engineSpeedsRpm = targets.map((point) => point.engineSpeedRpm);
  const held = (kind: GoalKind, lessPa: number) => {
    const curve: Curve = targets
      .map((point) => ({ engineSpeedRpm: point.engineSpeedRpm, value: point.manifoldPressurePa - lessPa }))
      .toSorted((a, b) => a.engineSpeedRpm - b.engineSpeedRpm)
      .filter((point, i, all) => i === 0 || point.engineSpeedRpm > all[i - 1]!.engineSpeedRpm);
    return holdGoal({ ...input, goal: { kind, curve } }, { ...options, engineSpeedsRpm });
  };
  return {
    engineSpeedsRpm,
    targetManifoldPressurePa: targets.map((point) => point.manifoldPressurePa),
    withoutTargetRpm: line.filter((point) => point.status !== 'ok').map((point) => point.engineSpeedRpm),
    gauge: held('gauge-boost', home.ambient.pressurePa),
    absolute: held('manifold-pressure', 0),
  };
}

/**
 * The table that a tuner calibrates from: allowed boost over engine speed and place in the kind and step that the controller takes,
 * always rounded down, with what the shaft-speed sensor should read. Nothing is solved here but by `heldFrom`.
 *
 * @param ceilings of solveCeilings
 * @param goal the goal held at the same places; cells are matched by place and engine speed, and one that is missing has no goal
 * @param options `stepPa` above 0, `bladesPastSensor` above 0
 * @param heldFrom `lowestHeldPressure` of what the ceilings were solved from: what is rounded down must not fall below it
 */
export function calibrationTable(
  ceilings: CeilingTable,
  goal: HeldGoal | null,
  options: CalibrationOptions,
  heldFrom: HeldFrom,
): CalibrationTable {
  const { places, engineSpeedsRpm } = ceilings;
  const cells = places.map((place, p) =>
    engineSpeedsRpm.map((rpm, k) => {
      const held = goal === null ? null : heldAt(goal, place, rpm);
      const asked = held === null || goal === null ? null : askedPressure(goal, place, held, rpm);
      return calibrationCell(ceilings.cells[p]![k]!, place, held, asked, options, heldFrom);
    }),
  );
  return { options, places, engineSpeedsRpm, cells };
}

/**
 * The largest whole number of steps that is not above a pressure: never rounded up.
 * @param stepPa above 0
 */
export function roundedDown(pressurePa: number, stepPa: number): SteppedPressure {
  let steps = Math.floor(pressurePa / stepPa);
  // The quotient may round up to a whole number that the product then exceeds.
  while (steps * stepPa > pressurePa) steps -= 1;
  return { steps, pressurePa: steps * stepPa };
}

/** From which pressure up every limit holds to a ceiling; not looked for below `notBelowPa`. */
export type HeldFrom = (place: Place, ceiling: CeilingFound, notBelowPa: number) => number;

/** By value, not by identity: tables may come from a worker, as copies. */
function heldAt(goal: HeldGoal, place: Place, engineSpeedRpm: number): HeldCell | null {
  const p = goal.places.findIndex(
    (other) =>
      other.name === place.name &&
      other.altitudeM === place.altitudeM &&
      other.ambient.pressurePa === place.ambient.pressurePa &&
      other.ambient.temperatureK === place.ambient.temperatureK &&
      other.ambient.vapourMoleFraction === place.ambient.vapourMoleFraction,
  );
  return goal.cells[p]?.[goal.engineSpeedsRpm.indexOf(engineSpeedRpm)] ?? null;
}

/** Manifold pressure that the goal asks for, absolute, reached or not. Infinity: more than there can be; null: none, or not known. */
export function askedPressure(goal: HeldGoal, place: Place, cell: HeldCell, rpm: number): number | null {
  const isReached = cell.point.status === 'ok' && (cell.point.turbine?.reachedShare ?? 1) === 1;
  if (cell.point.status === 'ok' && isReached) return cell.point.manifoldPressurePa;
  if (cell.point.status === 'bad-input') return null;
  const value = evaluateCurve(goal.goal.curve, rpm);
  if (value === null) return null;
  if (goal.goal.kind === 'gauge-boost') return place.ambient.pressurePa + value;
  if (goal.goal.kind === 'manifold-pressure') return value;
  return cell.point.status === 'no-compression' ? null : Number.POSITIVE_INFINITY;
}

/** Share of a step: a goal that stands on a step must not lose it to the last digit of ambient plus boost less ambient. */
const LAST_DIGIT = 1e-6;

function calibrationCell(
  ceiling: Ceiling,
  place: Place,
  held: HeldCell | null,
  askedPa: number | null,
  options: CalibrationOptions,
  heldFrom: HeldFrom,
): CalibrationCell {
  const { engineSpeedRpm, binding } = ceiling;
  const zero = options.kind === 'gauge' ? place.ambient.pressurePa : 0;
  const stepped = (pressurePa: number) => roundedDown(pressurePa - zero, options.stepPa);
  const found = ceiling.status === 'ok' ? ceiling : null;
  const topPa = found?.manifoldPressurePa ?? null;
  const rounded = topPa === null ? null : stepped(topPa);
  const roundedPa = (rounded?.pressurePa ?? 0) + zero;
  const allowed = found !== null && roundedPa >= heldFrom(place, found, roundedPa) ? rounded : null;
  return {
    engineSpeedRpm,
    binding,
    allowed,
    noStepHolds: rounded !== null && allowed === null,
    target:
      topPa === null || allowed === null || askedPa === null
        ? null
        : stepped(Math.min(topPa, askedPa + LAST_DIGIT * options.stepPa)),
    goalOverCeiling: topPa !== null && askedPa !== null && askedPa > topPa,
    goalCrosses: held?.crossed ?? null,
    atGoal: shaft(held?.point ?? null, options),
    atCeiling: shaft(found?.point ?? null, options),
  };
}

function shaft(point: OperatingPoint | null, options: CalibrationOptions): CalibrationShaft | null {
  if (point?.status !== 'ok') return null;
  return {
    shaftSpeedRpm: point.shaftSpeedRpm,
    pickupFrequencyHz: bladePassFrequency(point.shaftSpeedRpm, options.bladesPastSensor),
    wheelPowerW: point.wheelPowerW,
  };
}
