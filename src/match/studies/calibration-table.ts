import { bladePassFrequency } from '../../compressor/index.ts';
import { evaluateCurve } from '../../numerics/index.ts';
import type { OperatingPoint } from '../types.ts';
import type {
  CalibrationCell,
  CalibrationOptions,
  CalibrationShaft,
  CalibrationTable,
  Ceiling,
  CeilingTable,
  HeldCell,
  HeldGoal,
  Place,
  SteppedPressure,
} from './types.ts';

/**
 * The table that a tuner calibrates from: allowed boost over engine speed and place in the kind and step that the controller takes,
 * always rounded down, with what the shaft-speed sensor should read. Pure: nothing is solved here.
 *
 * @param ceilings of solveCeilings
 * @param goal the goal held at the same places; cells are matched by place and engine speed, and one that is missing has no goal
 * @param options `stepPa` above 0, `bladesPastSensor` above 0
 */
export function calibrationTable(
  ceilings: CeilingTable,
  goal: HeldGoal | null,
  options: CalibrationOptions,
): CalibrationTable {
  const { places, engineSpeedsRpm } = ceilings;
  const cells = places.map((place, p) =>
    engineSpeedsRpm.map((rpm, k) => {
      const held = goal === null ? null : heldAt(goal, place, rpm);
      const asked = held === null || goal === null ? null : askedPressure(goal, place, held, rpm);
      return calibrationCell(ceilings.cells[p]![k]!, place, held, asked, options);
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
function askedPressure(goal: HeldGoal, place: Place, cell: HeldCell, rpm: number): number | null {
  const isReached = cell.point.status === 'ok' && (cell.point.turbine?.reachedShare ?? 1) >= 1;
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
): CalibrationCell {
  const { engineSpeedRpm, binding } = ceiling;
  const zero = options.kind === 'gauge' ? place.ambient.pressurePa : 0;
  const stepped = (pressurePa: number) => roundedDown(pressurePa - zero, options.stepPa);
  const topPa = ceiling.status === 'ok' ? ceiling.manifoldPressurePa : null;
  const rounded = topPa === null ? null : stepped(topPa);
  const allowed = rounded !== null && rounded.pressurePa + zero >= lowestPa(ceiling) ? rounded : null;
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
    atCeiling: ceiling.status === 'ok' ? shaft(ceiling.point, options) : null,
  };
}

function lowestPa(ceiling: Ceiling): number {
  return ceiling.status === 'ok' ? ceiling.holdsFromPa : Number.POSITIVE_INFINITY;
}

function shaft(point: OperatingPoint | null, options: CalibrationOptions): CalibrationShaft | null {
  if (point?.status !== 'ok') return null;
  return {
    shaftSpeedRpm: point.shaftSpeedRpm,
    pickupFrequencyHz: bladePassFrequency(point.shaftSpeedRpm, options.bladesPastSensor),
    brakePowerW: point.brakePowerW,
    wheelPowerW: point.wheelPowerW,
  };
}
