import { FUELS } from '../engine/index.ts';
import type { LossInput } from '../engine/types.ts';
import { type Curve, evaluateCurve } from '../numerics/index.ts';
import type { MatchInput } from './types.ts';

/** One plain sentence: what is wrong and what to do. null: nothing. */
type Problem = string | null;

interface Range {
  low: number;
  high: number;
  /** The lower end itself is out. */
  isAbove: boolean;
  /** The same in words, for the sentence. */
  words: string;
}

const from = (low: number, high: number, words = `from ${low} to ${high}`): Range => ({
  low,
  high,
  isAbove: false,
  words,
});
const above = (low: number, high: number, words = `above ${low} and at most ${high}`): Range => ({
  low,
  high,
  isAbove: true,
  words,
});

/** Upper ends only keep the arithmetic finite; they are far beyond anything built. */
const LARGEST = 1e12;
const POSITIVE = above(1e-15, LARGEST, 'above 0');
const ZERO_OR_MORE = from(0, LARGEST, '0 or more');
const SHARE = from(0, 1);
const EFFICIENCY = from(0.05, 1);
/** The gas polynomials begin at 200 K; the upper end is far above any air an engine or cooler is given. */
const TEMPERATURE = from(200, 500, 'from -73 to 227 degrees Celsius (200 to 500 K)');

function check(name: string, value: number | undefined, range: Range): Problem {
  if (typeof value !== 'number' || Number.isNaN(value))
    return `${name} is missing: enter a value, which must be ${range.words}.`;
  const { low, high, isAbove } = range;
  return (value > low || (value === low && !isAbove)) && value <= high
    ? null
    : `${name} is out of range: it must be ${range.words}.`;
}

function checkCurve(name: string, curve: Curve): Problem {
  if (curve.length === 0) return `${name} has no points: enter at least one.`;
  let previous = Number.NEGATIVE_INFINITY;
  for (const point of curve) {
    if (!Number.isFinite(point.engineSpeedRpm) || !Number.isFinite(point.value)) {
      return `${name} has a point that is not a number: complete or delete it.`;
    }
    if (point.engineSpeedRpm <= previous) {
      return `${name} must have its points in rising engine speed, each speed once.`;
    }
    previous = point.engineSpeedRpm;
  }
  return null;
}

type Check<Part> = (part: Part, input: MatchInput) => Problem;

const number =
  <Part>(name: string, read: (part: Part) => number | undefined, range: Range): Check<Part> =>
  (part) =>
    check(name, read(part), range);

/** A number that may be left out. */
const optional =
  <Part>(name: string, read: (part: Part) => number | undefined, range: Range): Check<Part> =>
  (part) =>
    read(part) === undefined ? null : check(name, read(part), range);

const curve =
  <Part>(name: string, read: (part: Part) => Curve | undefined): Check<Part> =>
  (part) => {
    const points = read(part);
    return points === undefined ? null : checkCurve(name, points);
  };

/** The checks of one part of the input, passed over where the input has no such part. */
const part =
  <Part>(of: (input: MatchInput) => Part | undefined, checks: readonly Check<Part>[]) =>
  (input: MatchInput): Problem => {
    const found = of(input);
    return found === undefined ? null : firstOf(checks, (one) => one(found, input));
  };

/** The first problem of a list of checks; those behind it are not asked. */
function firstOf<T>(checks: readonly T[], problemOf: (one: T) => Problem): Problem {
  for (const one of checks) {
    const problem = problemOf(one);
    if (problem !== null) return problem;
  }
  return null;
}

/** @param of the path, as in 'Flow at which the inlet path loss was measured' */
function losses(of: string, name: string): Check<LossInput>[] {
  return [
    number(name, ({ lossPa }) => lossPa, ZERO_OR_MORE),
    number(`Flow at which the ${of} loss was measured`, ({ atMassFlowKgPerS }) => atMassFlowKgPerS, POSITIVE),
    number(`Density at which the ${of} loss was measured`, ({ atDensityKgPerM3 }) => atDensityKgPerM3, POSITIVE),
  ];
}

/** @param beforeKgPerS flow of the point before it */
function checkEffectiveness(
  { massFlowKgPerS, effectiveness }: { massFlowKgPerS: number; effectiveness: number },
  beforeKgPerS = Number.NEGATIVE_INFINITY,
): Problem {
  return (
    check('Flow of a cooler effectiveness', massFlowKgPerS, ZERO_OR_MORE) ??
    check('Cooler effectiveness at a flow', effectiveness, SHARE) ??
    (massFlowKgPerS > beforeKgPerS ? null : 'Cooler effectiveness must have its flows in rising order, each once.')
  );
}

const MEASURED_RATIO = 'Back-pressure ratio at which volumetric efficiency was measured';

/** All that is asked of the input whatever the engine speed, in the order in which it is said. */
const CHECKS: readonly ((input: MatchInput) => Problem)[] = [
  part(
    (input) => input.engine,
    [
      ({ fuel }) => (FUELS[fuel] === undefined ? 'Fuel is unknown: choose one of the list.' : null),
      ({ strokesPerCycle: strokes }) => (strokes === 2 || strokes === 4 ? null : 'Strokes per cycle must be 2 or 4.'),
      number('Displacement', (engine) => engine.displacementM3, POSITIVE),
      number('Compression ratio', (engine) => engine.compressionRatio, above(1, 50)),
      number('Driveline loss', (engine) => engine.drivelineLoss, from(0, 0.9)),
      curve('Volumetric efficiency', (engine) => engine.volumetricEfficiency),
      curve('Lambda', (engine) => engine.lambda),
      curve('Brake specific fuel consumption', (engine) => engine.bsfcKgPerJ),
    ],
  ),
  part(
    (input) => input.engine.fuelSupply,
    [
      number('Number of injectors', (supply) => supply.injectorCount, POSITIVE),
      optional('Injector flow', (supply) => supply.injectorFlowM3PerS, POSITIVE),
      number('Rated pressure of the injectors', (supply) => supply.injectorRatedPressurePa, POSITIVE),
      number('Rail pressure', (supply) => supply.railPressurePa, POSITIVE),
      number('Duty limit', (supply) => supply.dutyLimit, above(0, 1)),
      optional('Pump flow', (supply) => supply.pumpFlowM3PerS, POSITIVE),
    ],
  ),
  part(
    (input) => input,
    [
      number('Ambient pressure', (i) => i.ambient.pressurePa, from(1000, 1e6, 'from 1 kPa to 1000 kPa')),
      number('Ambient temperature', (i) => i.ambient.temperatureK, TEMPERATURE),
      number(
        'Water vapour in the air',
        (i) => i.ambient.vapourMoleFraction,
        from(0, 0.9, 'a mole fraction from 0 to 0.9'),
      ),
      number('Heating of the inlet air', (i) => i.inletPath.heatingK, from(-100, 300, 'from -100 K to 300 K')),
      number('Compressor inlet temperature', (i) => i.ambient.temperatureK + i.inletPath.heatingK, TEMPERATURE),
    ],
  ),
  part((input) => input.inletPath, losses('inlet path', 'Inlet path loss')),
  part((input) => input.chargePath, losses('charge path', 'Charge path loss')),
  part(
    ({ chargePath: { cooler } }) => (cooler.kind === 'none' ? undefined : cooler),
    [
      number('Cooler effectiveness', (cooler) => cooler.effectiveness, SHARE),
      number('Temperature of the cooling medium', (cooler) => cooler.coolantTemperatureK, TEMPERATURE),
      ({ effectivenessAtFlow: points = [] }) =>
        firstOf([...points.keys()], (i) => checkEffectiveness(points[i]!, points[i - 1]?.massFlowKgPerS)),
    ],
  ),
  part(
    (input) => input,
    [
      curve('The goal', (i) => i.goal.curve),
      ({ turboCount: count = 1 }) =>
        count === 1 || count === 2 || count === 3 || count === 4
          ? null
          : 'The number of turbos must be 1, 2, 3 or 4: equal turbos in parallel.',
      optional('Assumed efficiency', (i) => i.assumedEfficiency, EFFICIENCY),
      optional('Maximum shaft speed', (i) => i.limits.shaftSpeedRpm, POSITIVE),
      optional('Shaft speed reserve', (i) => i.limits.shaftSpeedReserve, from(0, 0.5)),
      optional('Least surge margin', (i) => i.limits.surgeMargin, SHARE),
      optional('Least choke margin', (i) => i.limits.chokeMargin, SHARE),
      optional('Compressor outlet temperature limit', (i) => i.limits.compressorOutletTemperatureK, POSITIVE),
      optional('Manifold pressure limit', (i) => i.limits.manifoldPressurePa, POSITIVE),
      optional('Power limit', (i) => i.limits.brakePowerW, POSITIVE),
      optional('Torque limit', (i) => i.limits.torqueNm, POSITIVE),
      optional('Back-pressure ratio limit', (i) => i.limits.backPressureRatio, POSITIVE),
      optional('Turbine inlet temperature limit', (i) => i.limits.turbineInletTemperatureK, POSITIVE),
    ],
  ),
  // Spread, so that a loss left out by a script is named as missing.
  part(({ turbine }) => turbine && { ...turbine.exhaustLoss }, losses('exhaust', 'Exhaust loss')),
  part(
    (input) => input.turbine,
    [
      number('Mechanical efficiency of the turbo', (turbine) => turbine.mechanicalEfficiency, from(0.2, 1)),
      number(MEASURED_RATIO, (turbine) => turbine.measuredBackPressureRatio ?? 1, from(0.2, 5)),
      // Burnt gas at that pressure would fill the cylinder: no efficiency can have been measured there.
      ({ measuredBackPressureRatio: ratio = 1 }, { engine }) =>
        ratio < engine.compressionRatio
          ? null
          : `${MEASURED_RATIO} is out of range: it must be below the compression ratio.`,
      // Without bound: a gate that passes whatever it must.
      optional(
        'Effective area of the wastegate',
        (turbine) => turbine.gateAreaM2,
        above(0, Number.POSITIVE_INFINITY, 'above 0'),
      ),
      optional('Factor on the capacity of the turbine', (turbine) => turbine.capacityFactor, POSITIVE),
      optional('Shift of the turbine efficiency', (turbine) => turbine.efficiencyShift, above(-1, 1)),
      optional(
        'Shift of the turbine inlet temperature',
        (turbine) => turbine.inletTemperatureShiftK,
        from(-1000, 1000, 'from -1000 K to 1000 K'),
      ),
      curve('Turbine inlet temperature', (turbine) => turbine.inletTemperatureK),
      ({ efficiency, capacity }) =>
        efficiency.kind === 'sheet' && capacity.efficiency(2, 0) === null
          ? 'The sheet of the turbine has no efficiencies: enter a number or a parabola over U/C0.'
          : null,
    ],
  ),
  part(
    ({ turbine }) => (turbine?.efficiency.kind === 'number' ? turbine.efficiency : undefined),
    [number('Turbine efficiency', (efficiency) => efficiency.value, EFFICIENCY)],
  ),
  part(
    ({ turbine }) => (turbine?.efficiency.kind === 'speed-ratio' ? turbine.efficiency : undefined),
    [
      number('Best turbine efficiency', (efficiency) => efficiency.best, EFFICIENCY),
      number('U/C0 of the best turbine efficiency', (efficiency) => efficiency.optimum, from(0.2, 2)),
      number('Turbine wheel diameter', (efficiency) => efficiency.wheelDiameterM, POSITIVE),
    ],
  ),
];

/** What is wrong with the input whatever the engine speed: the first sentence, or null. */
export function checkInput(input: MatchInput): Problem {
  return firstOf(CHECKS, (one) => one(input));
}

const LEAST_MANIFOLD_PA = 1000;

const LEAST_GOAL = { 'manifold-pressure': LEAST_MANIFOLD_PA, 'brake-power': 1, 'wheel-power': 1 } as const;

const PRESSURE_WORDS = 'leave at least 1 kPa absolute in the manifold';
const GOALS: Readonly<Record<MatchInput['goal']['kind'], { name: string; words: string }>> = {
  'gauge-boost': { name: 'The boost', words: PRESSURE_WORDS },
  'manifold-pressure': { name: 'The manifold pressure', words: PRESSURE_WORDS },
  'brake-power': { name: 'The brake power', words: 'be above 0' },
  'wheel-power': { name: 'The wheel power', words: 'be above 0' },
};

const ENGINE_SPEED = above(0, 100_000, 'above 0 and at most 100\u202f000 rpm');
const VOLUMETRIC_EFFICIENCY = above(0, 2);
const LAMBDA = from(0.2, 20);

/** What is wrong at one engine speed: the speed itself, or a curve's value there. */
export function checkEngineSpeed(input: MatchInput, engineSpeedRpm: number): Problem {
  const { engine, goal, ambient } = input;
  const at = (of: Curve) => evaluateCurve(of, engineSpeedRpm) ?? Number.NaN;
  const asked = at(goal.curve);
  const { name, words } = GOALS[goal.kind];
  const least = goal.kind === 'gauge-boost' ? LEAST_MANIFOLD_PA - ambient.pressurePa : LEAST_GOAL[goal.kind];
  return (
    check('Engine speed', engineSpeedRpm, ENGINE_SPEED) ??
    check('Volumetric efficiency', at(engine.volumetricEfficiency), VOLUMETRIC_EFFICIENCY) ??
    check('Lambda', at(engine.lambda), LAMBDA) ??
    check('Brake specific fuel consumption', at(engine.bsfcKgPerJ), POSITIVE) ??
    (Number.isNaN(asked) ? `${name} is missing: enter it.` : null) ??
    (asked >= least && asked <= LARGEST ? null : `${name} is out of range: it must ${words}.`)
  );
}
