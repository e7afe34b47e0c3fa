import { convertText, parseQuantity, shortestNumber, type UnitSystem } from '../units/index.ts';
import { buildFields } from './buildFields.ts';
import { withBuildOfShop } from './commands/builds.ts';
import { type Change, step } from './commands/changeBuild.ts';
import { defaultBuild, unitsOfSystem } from './defaults.ts';
import type { Build, Typed, TypedCurve } from './document.ts';
import { startOf, typedCurve } from './field.ts';

/**
 * What a new build starts from, by the kind of its engine: middling curves of common practice (no source), to be replaced by the car's own.
 * Each curve is spread evenly from 31 % of the highest engine speed to all of it.
 */
interface EngineKind {
  name: string;
  usName?: string;
  fuel: Build['engine']['fuel'];
  injection: Build['engine']['injection'];
  compressionRatio: string;
  highestRpm: string;
  boostBar: string;
  volumetricEfficiency: readonly string[];
  lambda: readonly string[];
  /** g/kWh */
  bsfc: readonly string[];
}

const spark = { fuel: 'petrol', highestRpm: '6500', boostBar: '1.0' } as const;

const KINDS = {
  'spark-direct': {
    ...spark,
    name: 'Petrol, direct injection, four valves',
    usName: 'Gasoline, direct injection, four valves',
    injection: 'direct',
    compressionRatio: '9.8',
    volumetricEfficiency: ['90', '97', '98', '90'],
    lambda: ['0.90', '0.82'],
    bsfc: ['290', '300', '335'],
  },
  'spark-port': {
    ...spark,
    name: 'Petrol, port injection, four valves',
    usName: 'Gasoline, port injection, four valves',
    injection: 'port',
    compressionRatio: '9.0',
    volumetricEfficiency: ['86', '95', '97', '88'],
    lambda: ['0.90', '0.80'],
    bsfc: ['300', '310', '350'],
  },
  'spark-two-valve': {
    ...spark,
    name: 'Petrol, port injection, two valves',
    usName: 'Gasoline, port injection, two valves',
    injection: 'port',
    compressionRatio: '8.5',
    highestRpm: '6000',
    boostBar: '0.7',
    volumetricEfficiency: ['80', '86', '84', '72'],
    lambda: ['0.88', '0.80'],
    bsfc: ['310', '320', '365'],
  },
  diesel: {
    name: 'Diesel, direct injection',
    fuel: 'diesel',
    injection: 'direct',
    compressionRatio: '16.5',
    highestRpm: '4500',
    boostBar: '1.3',
    volumetricEfficiency: ['85', '91', '90', '84'],
    lambda: ['1.25', '1.35'],
    bsfc: ['215', '208', '240'],
  },
} as const satisfies Record<string, EngineKind>;

type EngineKindKey = keyof typeof KINDS;

/** Kinds of engines that a new build may start from, named as the system of units has it, with the answers that are usual for each. */
export function engineKinds(system: UnitSystem) {
  return Object.entries<EngineKind>(KINDS).map(([key, { name, usName, highestRpm, boostBar }]) => ({
    key: key as EngineKindKey,
    name: (system === 'us' ? usName : undefined) ?? name,
    highestRpm,
    boost: inUnitOf({ text: boostBar, unit: 'bar' }, system),
  }));
}

function inUnitOf({ text, unit }: Typed, system: UnitSystem): Typed {
  if (system === 'metric') return { text, unit };
  return { text: convertText(text, 'pressure-gauge', [unit, 'psi'], { share: 0.02 }), unit: 'psi' };
}

/** What is asked of a new build. */
export interface FirstAnswers {
  name: string;
  system: UnitSystem;
  kind: EngineKindKey;
  displacement: Typed;
  highestEngineSpeed: Typed;
  boost: Typed;
}

/** The answers that stand in the fields before anybody has typed. */
export function usualAnswers(system: UnitSystem, kind: EngineKindKey = 'spark-direct'): FirstAnswers {
  const found = engineKinds(system).find(({ key }) => key === kind);
  return {
    ...{ name: 'New build', system, kind },
    displacement: startOf(buildFields.engine.displacement, system),
    highestEngineSpeed: { text: found?.highestRpm ?? '', unit: 'rpm' },
    boost: found?.boost ?? startOf(buildFields.limits.manifoldPressure, system),
  };
}

/** Adds the build of these answers and opens it; the next build starts in the same units. `id` must be new (createId). */
export function startBuild(id: string, answers: FirstAnswers): Change {
  return step('new build', (workspace) => {
    const { system } = answers;
    const chosen = { ...workspace.settings, ...(workspace.settings.system !== system && unitsOfSystem(system)) };
    return withBuildOfShop({ ...workspace, settings: chosen }, buildFromAnswers(id, answers));
  });
}

/** Share of the highest engine speed at which curves begin. */
const LOWEST = 0.31;
/** Rounded to the steps in which engine speeds are computed, so that round engine speeds are among them; slow engines to fifties. */
const speedAt = (share: number, highestRpm: number) => {
  const step = highestRpm < 2500 ? 50 : 250;
  return String(share === 1 ? highestRpm : Math.round((share * highestRpm) / step) * step);
};

/**
 * A new build from the answers: curves usual for the kind of engine over its engine speeds, half of the boost at the lowest and all of it
 * from the middle of the lower half. The usual highest speed of the kind stands in for one that cannot be read.
 */
export function buildFromAnswers(id: string, answers: FirstAnswers): Build {
  const { name, system, displacement, highestEngineSpeed, boost } = answers;
  const kind: EngineKind = KINDS[answers.kind];
  const build = defaultBuild(id, name.trim() || 'New build', system);
  const read = parseQuantity(highestEngineSpeed.text, 'engine-speed', highestEngineSpeed.unit);
  const highestRpm = read.ok && read.si > 0 ? read.si : Number(kind.highestRpm);
  const spread = (
    values: readonly string[],
    curve: TypedCurve,
    quantity: 'lambda' | 'bsfc' | 'volumetric-efficiency',
    from: string,
  ) =>
    typedCurve(
      curve.unit,
      ...values.map((value, i) => {
        const share = LOWEST + ((1 - LOWEST) * i) / (values.length - 1);
        const text = convertText(value, quantity, [from, curve.unit], { share: 4e-3 });
        return [speedAt(share, highestRpm), text] as const;
      }),
    );
  const { engine, goal } = build;
  const half = Number(boost.text.replace(',', '.')) / 2;
  const rows = [
    [speedAt(LOWEST, highestRpm), Number.isFinite(half) ? shortestNumber(half, 4e-3) : boost.text],
    [speedAt(0.46, highestRpm), boost.text],
    [speedAt(1, highestRpm), boost.text],
  ] as const;
  return {
    ...build,
    engine: {
      ...engine,
      displacement,
      fuel: kind.fuel,
      injection: kind.injection,
      compressionRatio: { ...engine.compressionRatio, text: kind.compressionRatio },
      volumetricEfficiency: spread(
        kind.volumetricEfficiency,
        engine.volumetricEfficiency,
        'volumetric-efficiency',
        '%',
      ),
      lambda: spread(kind.lambda, engine.lambda, 'lambda', '1'),
      bsfc: spread(kind.bsfc, engine.bsfc, 'bsfc', 'g/kWh'),
    },
    goal: { kind: 'gauge-boost', curves: { ...goal.curves, 'gauge-boost': typedCurve(boost.unit, ...rows) } },
    engineSpeeds: {
      ...build.engineSpeeds,
      from: { text: speedAt(LOWEST, highestRpm), unit: 'rpm' },
      to: { text: highestEngineSpeed.text, unit: highestEngineSpeed.unit },
    },
  };
}
