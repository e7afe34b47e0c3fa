import { FUELS } from '../engine/index.ts';
import { type Curve, evaluateCurve } from '../numerics/index.ts';
import type { TurbineInput } from '../turbine/types.ts';
import type { MatchInput } from './types.ts';

/** One plain sentence: what is wrong and what to do. null: nothing. */
type Problem = string | null;

interface Range {
  /** The number must be above this (or at it, with `orEqual`). */
  above: number;
  orEqual?: boolean;
  atMost: number;
  /** The same in words, for the sentence. */
  words: string;
}

/** Upper ends only keep the arithmetic finite; they are far beyond anything built. */
const LARGEST = 1e12;
const POSITIVE: Range = { above: 1e-15, atMost: LARGEST, words: 'above 0' };
const ZERO_OR_MORE: Range = { above: 0, orEqual: true, atMost: LARGEST, words: '0 or more' };
const SHARE: Range = { above: 0, orEqual: true, atMost: 1, words: 'from 0 to 1' };
/** The gas polynomials begin at 200 K; the upper end is far above any air an engine or cooler is given. */
const TEMPERATURE: Range = {
  above: 200,
  orEqual: true,
  atMost: 500,
  words: 'from -73 to 227 degrees Celsius (200 to 500 K)',
};

function check(name: string, value: number, range: Range): Problem {
  if (typeof value !== 'number' || Number.isNaN(value))
    return `${name} is missing: enter a value, which must be ${range.words}.`;
  const low = range.orEqual ? value >= range.above : value > range.above;
  if (low && value <= range.atMost) return null;
  return `${name} is out of range: it must be ${range.words}.`;
}

function firstOf(...problems: readonly Problem[]): Problem {
  return problems.find((problem) => problem !== null) ?? null;
}

/** What is wrong with the input whatever the engine speed. */
export function checkInput(input: MatchInput): Problem {
  return firstOf(
    checkEngine(input),
    checkAir(input),
    checkPaths(input),
    checkCooler(input),
    checkLimits(input),
    checkTurbine(input),
  );
}

function checkTurbine({ turbine, engine }: MatchInput): Problem {
  if (turbine === undefined) return null;
  const { exhaustLoss } = turbine;
  const measuredRatio = turbine.measuredBackPressureRatio ?? 1;
  return firstOf(
    check('Exhaust loss', exhaustLoss.lossPa, ZERO_OR_MORE),
    check('Flow at which the exhaust loss was measured', exhaustLoss.atMassFlowKgPerS, POSITIVE),
    check('Density at which the exhaust loss was measured', exhaustLoss.atDensityKgPerM3, POSITIVE),
    check('Mechanical efficiency of the turbo', turbine.mechanicalEfficiency, {
      above: 0.2,
      orEqual: true,
      atMost: 1,
      words: 'from 0.2 to 1',
    }),
    check('Back-pressure ratio at which volumetric efficiency was measured', measuredRatio, {
      above: 0.2,
      orEqual: true,
      atMost: 5,
      words: 'from 0.2 to 5',
    }),
    // Burnt gas at that pressure would fill the cylinder: no efficiency can have been measured there.
    measuredRatio < engine.compressionRatio
      ? null
      : 'Back-pressure ratio at which volumetric efficiency was measured is out of range: it must be below the compression ratio.',
    check('Factor on the capacity of the turbine', turbine.capacityFactor ?? 1, POSITIVE),
    check('Shift of the turbine efficiency', turbine.efficiencyShift ?? 0, {
      above: -1,
      atMost: 1,
      words: 'above -1 and at most 1',
    }),
    check('Shift of the turbine inlet temperature', turbine.inletTemperatureShiftK ?? 0, {
      above: -1000,
      orEqual: true,
      atMost: 1000,
      words: 'from -1000 K to 1000 K',
    }),
    turbine.inletTemperatureK === undefined ? null : checkCurve('Turbine inlet temperature', turbine.inletTemperatureK),
    checkTurbineEfficiency(turbine),
  );
}

const EFFICIENCY: Range = { above: 0.05, orEqual: true, atMost: 1, words: 'from 0.05 to 1' };

function checkTurbineEfficiency({ efficiency, capacity }: TurbineInput): Problem {
  switch (efficiency.kind) {
    case 'sheet':
      return capacity.efficiency(2, 0) === null
        ? 'The sheet of the turbine has no efficiencies: enter a number or a parabola over U/C0.'
        : null;
    case 'number':
      return check('Turbine efficiency', efficiency.value, EFFICIENCY);
    case 'speed-ratio':
      return firstOf(
        check('Best turbine efficiency', efficiency.best, EFFICIENCY),
        check('U/C0 of the best turbine efficiency', efficiency.optimum, {
          above: 0.2,
          orEqual: true,
          atMost: 2,
          words: 'from 0.2 to 2',
        }),
        check('Turbine wheel diameter', efficiency.wheelDiameterM, POSITIVE),
      );
  }
}

function checkEngine({ engine }: MatchInput): Problem {
  if (FUELS[engine.fuel] === undefined) return 'Fuel is unknown: choose one of the list.';
  if (engine.strokesPerCycle !== 2 && engine.strokesPerCycle !== 4) return 'Strokes per cycle must be 2 or 4.';
  return firstOf(
    check('Displacement', engine.displacementM3, POSITIVE),
    check('Compression ratio', engine.compressionRatio, { above: 1, atMost: 50, words: 'above 1 and at most 50' }),
    check('Driveline loss', engine.drivelineLoss, { above: 0, orEqual: true, atMost: 0.9, words: 'from 0 to 0.9' }),
    checkCurve('Volumetric efficiency', engine.volumetricEfficiency),
    checkCurve('Lambda', engine.lambda),
    checkCurve('Brake specific fuel consumption', engine.bsfcKgPerJ),
    checkFuelSupply(engine.fuelSupply),
  );
}

function checkFuelSupply(supply: MatchInput['engine']['fuelSupply']): Problem {
  if (supply === undefined) return null;
  return firstOf(
    check('Number of injectors', supply.injectorCount, POSITIVE),
    check('Injector flow', supply.injectorFlowM3PerS, POSITIVE),
    check('Rated pressure of the injectors', supply.injectorRatedPressurePa, POSITIVE),
    check('Rail pressure', supply.railPressurePa, POSITIVE),
    check('Duty limit', supply.dutyLimit, { above: 0, atMost: 1, words: 'above 0 and at most 1' }),
    supply.pumpFlowM3PerS === undefined ? null : check('Pump flow', supply.pumpFlowM3PerS, POSITIVE),
  );
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

function checkAir({ ambient, inletPath }: MatchInput): Problem {
  return firstOf(
    check('Ambient pressure', ambient.pressurePa, {
      above: 1000,
      orEqual: true,
      atMost: 1e6,
      words: 'from 1 kPa to 1000 kPa',
    }),
    check('Ambient temperature', ambient.temperatureK, TEMPERATURE),
    check('Water vapour in the air', ambient.vapourMoleFraction, {
      above: 0,
      orEqual: true,
      atMost: 0.9,
      words: 'a mole fraction from 0 to 0.9',
    }),
    check('Heating of the inlet air', inletPath.heatingK, {
      above: -100,
      orEqual: true,
      atMost: 300,
      words: 'from -100 K to 300 K',
    }),
    check('Compressor inlet temperature', ambient.temperatureK + inletPath.heatingK, TEMPERATURE),
  );
}

function checkPaths({ inletPath, chargePath }: MatchInput): Problem {
  return firstOf(
    check('Inlet path loss', inletPath.lossPa, ZERO_OR_MORE),
    check('Flow at which the inlet path loss was measured', inletPath.atMassFlowKgPerS, POSITIVE),
    check('Density at which the inlet path loss was measured', inletPath.atDensityKgPerM3, POSITIVE),
    check('Charge path loss', chargePath.lossPa, ZERO_OR_MORE),
    check('Flow at which the charge path loss was measured', chargePath.atMassFlowKgPerS, POSITIVE),
    check('Density at which the charge path loss was measured', chargePath.atDensityKgPerM3, POSITIVE),
  );
}

function checkCooler({ chargePath: { cooler } }: MatchInput): Problem {
  if (cooler.kind === 'none') return null;
  const basics = firstOf(
    check('Cooler effectiveness', cooler.effectiveness, SHARE),
    check('Temperature of the cooling medium', cooler.coolantTemperatureK, TEMPERATURE),
  );
  if (basics !== null) return basics;
  let previous = Number.NEGATIVE_INFINITY;
  for (const point of cooler.effectivenessAtFlow ?? []) {
    const problem = firstOf(
      check('Flow of a cooler effectiveness', point.massFlowKgPerS, ZERO_OR_MORE),
      check('Cooler effectiveness at a flow', point.effectiveness, SHARE),
      point.massFlowKgPerS > previous ? null : 'Cooler effectiveness must have its flows in rising order, each once.',
    );
    if (problem !== null) return problem;
    previous = point.massFlowKgPerS;
  }
  return null;
}

function checkLimits(input: MatchInput): Problem {
  const { limits, goal, assumedEfficiency } = input;
  const optional = (name: string, value: number | undefined, range: Range) =>
    value === undefined ? null : check(name, value, range);

  return firstOf(
    checkCurve('The goal', goal.curve),
    optional('Assumed efficiency', assumedEfficiency, {
      above: 0.05,
      orEqual: true,
      atMost: 1,
      words: 'from 0.05 to 1',
    }),
    optional('Maximum shaft speed', limits.shaftSpeedRpm, POSITIVE),
    optional('Shaft speed reserve', limits.shaftSpeedReserve, { ...SHARE, atMost: 0.5, words: 'from 0 to 0.5' }),
    optional('Least surge margin', limits.surgeMargin, SHARE),
    optional('Least choke margin', limits.chokeMargin, SHARE),
    optional('Compressor outlet temperature limit', limits.compressorOutletTemperatureK, POSITIVE),
    optional('Manifold pressure limit', limits.manifoldPressurePa, POSITIVE),
    optional('Power limit', limits.brakePowerW, POSITIVE),
    optional('Back-pressure ratio limit', limits.backPressureRatio, POSITIVE),
    optional('Turbine inlet temperature limit', limits.turbineInletTemperatureK, POSITIVE),
  );
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

/** What is wrong at one engine speed: the speed itself, or a curve's value there. */
export function checkEngineSpeed(input: MatchInput, engineSpeedRpm: number): Problem {
  const { engine, goal, ambient } = input;
  const at = (curve: Curve) => evaluateCurve(curve, engineSpeedRpm) ?? Number.NaN;
  const asked = at(goal.curve);
  const { name: goalName, words } = GOALS[goal.kind];
  const least = goal.kind === 'gauge-boost' ? LEAST_MANIFOLD_PA - ambient.pressurePa : LEAST_GOAL[goal.kind];
  return firstOf(
    check('Engine speed', engineSpeedRpm, { above: 0, atMost: 100_000, words: 'above 0 and at most 100,000 rpm' }),
    check('Volumetric efficiency', at(engine.volumetricEfficiency), {
      above: 0,
      atMost: 2,
      words: 'above 0 and at most 2',
    }),
    check('Lambda', at(engine.lambda), { above: 0.2, orEqual: true, atMost: 20, words: 'from 0.2 to 20' }),
    check('Brake specific fuel consumption', at(engine.bsfcKgPerJ), POSITIVE),
    Number.isNaN(asked) ? `${goalName} is missing: enter it.` : null,
    asked >= least && asked <= LARGEST ? null : `${goalName} is out of range: it must ${words}.`,
  );
}
