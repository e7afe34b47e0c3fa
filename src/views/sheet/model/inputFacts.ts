import type { DayAirReading } from '../../../build/index.ts';
import {
  type Build,
  type BuildPath,
  fieldAt,
  getBuildField,
  type NumberField,
  type PathsOfField,
  type TypedCurve,
} from '../../../build/index.ts';
import { fuelName } from '../../../engine/index.ts';
import { type Finding, type ResultUnits, showResult } from '../../../match/index.ts';
import {
  findUnit,
  formatNumber,
  formatQuantity,
  joined,
  NO_BREAK_SPACE,
  type QuantityKey,
  typedText,
} from '../../../units/index.ts';
import { candidateLetter } from '../../shared/display.ts';
import { injectorAtLeast, pumpAtLeast } from '../../shared/findingSentences.ts';

type NumberPath = Extract<BuildPath, PathsOfField<NumberField>>;

/** A line of a list: what, and how much, as it was typed. */
interface Fact {
  title: string;
  value: string;
}

export interface FactGroup {
  title: string;
  facts: readonly Fact[];
}

const GOALS: Readonly<Record<Build['goal']['kind'], string>> = {
  'gauge-boost': 'Boost over ambient',
  'manifold-pressure': 'Manifold pressure, absolute',
  'brake-power': 'Power at the crankshaft',
  'wheel-power': 'Power at the wheels',
};

/** More points of a curve than this are told by their ends and their number. */
const MOST_POINTS = 12;

/** Engine, air with its paths, and goal with the fuel supply: what was entered, in the units and digits in which it was typed. */
export function inputFacts(
  build: Build,
  day: DayAirReading,
  units: ResultUnits,
  findings: readonly Finding[] = [],
): readonly FactGroup[] {
  return [
    { title: 'Engine', facts: engineFacts(build, units) },
    { title: 'Air and charge path', facts: [...airFacts(build, day, units), ...pathFacts(build, units)] },
    {
      title: 'Goal, fuel supply, exhaust',
      facts: [...goalFacts(build), ...fuelFacts(build), ...neededFacts(findings, units), ...exhaustFacts(build, units)],
    },
  ];
}

function engineFacts(build: Build, units: ResultUnits): Fact[] {
  const { engine } = build;
  const curve = (title: string, path: 'volumetricEfficiency' | 'lambda' | 'bsfc') =>
    fact(titleWithUnit(title, engine[path].unit, fieldAt(`engine.${path}`).quantity), curveText(engine[path]));
  return facts(
    fact(
      'Engine',
      joined([
        typed(build, 'engine.displacement'),
        `${typed(build, 'engine.cylinders') || '?'} cyl.`,
        `${engine.strokesPerCycle}-stroke`,
      ]),
    ),
    fact('Turbos', turboText(build, units)),
    fact('Compression', ratioText(build)),
    fact(
      'Fuel, injection',
      `${fuelName(engine.fuel, units.system)}, ${engine.injection === 'direct' ? 'direct' : 'port'}`,
    ),
    fact('Driveline loss', typed(build, 'engine.drivelineLoss')),
    curve('Vol. eff.', 'volumetricEfficiency'),
    curve('Lambda', 'lambda'),
    curve('Bsfc', 'bsfc'),
  );
}

function ratioText(build: Build): string {
  const text = typed(build, 'engine.compressionRatio');
  return text === '' || text.includes(':') ? text : `${text}:1`;
}

const PRESSURES: Readonly<Record<Build['air']['barometer']['kind'], string>> = {
  standard: 'standard',
  'read-on-site': 'read on site',
  'weather-report': 'weather report',
};

function airFacts(build: Build, { air }: DayAirReading, units: ResultUnits): Fact[] {
  const { kind, pressure } = build.air.barometer;
  const unit = findUnit('pressure-absolute', pressure.unit)?.key ?? 'hPa';
  const station = air === null ? '–' : formatQuantity(air.ambient.pressurePa, 'pressure-absolute', unit);
  const report = kind === 'weather-report' ? ` ${typed(build, 'air.barometer.pressure')}` : '';
  return facts(
    fact('Altitude', typed(build, 'air.altitude')),
    fact('Pressure here', `${station} (${PRESSURES[kind]}${report})`),
    fact('Temp., humidity', joined([typed(build, 'air.temperature'), typed(build, 'air.relativeHumidity')])),
    fact('Density', air === null ? '–' : showResult(air.densityKgPerM3, 'density', units)),
  );
}

/** 'Inlet loss: 2.5 kPa at 0.20 kg/s, 1.20 kg/m³'; with several turbos 'Inlet, branch' or 'Inlet, shared'. */
function lossFact(build: Build, path: 'inletPath' | 'chargePath' | 'exhaust', { several }: ResultUnits): Fact {
  const name = { inletPath: 'Inlet', chargePath: 'Charge', exhaust: 'Exhaust' }[path];
  return fact(
    several ? `${name}, ${build[path].of}` : `${name} loss`,
    `${typed(build, `${path}.loss`) || '?'} at ${typed(build, `${path}.atFlow`) || '?'}, ${typed(build, `${path}.atDensity`) || '?'}`,
  );
}

/** 'A 2 equal, B 1'; '' where every candidate has one. */
function turboText({ candidates }: Build, { several }: ResultUnits): string {
  if (!several) return '';
  const count = (turbos: number) => (turbos === 1 ? '1' : `${turbos} equal, in parallel`);
  return joined(candidates.map(({ turboCount }, index) => `${candidateLetter(index)} ${count(turboCount)}`));
}

function pathFacts(build: Build, units: ResultUnits): Fact[] {
  return facts(
    lossFact(build, 'inletPath', units),
    fact('Inlet heating', typed(build, 'inletPath.heating')),
    lossFact(build, 'chargePath', units),
    fact('Cooler', coolerText(build)),
  );
}

function coolerText(build: Build): string {
  const { cooler } = build.chargePath;
  if (cooler.kind === 'none') return 'none';
  const effectiveness = cooler.falling
    ? `${typed(build, 'chargePath.cooler.effectiveness')} at ${typed(build, 'chargePath.cooler.atLowFlow')}, ` +
      `${typed(build, 'chargePath.cooler.effectivenessAtHighFlow')} at ${typed(build, 'chargePath.cooler.atHighFlow')}`
    : typed(build, 'chargePath.cooler.effectiveness');
  return cooler.kind === 'air'
    ? `air, ${effectiveness}, ${typed(build, 'chargePath.cooler.recovery')} over ambient`
    : `water at ${typed(build, 'chargePath.cooler.waterTemperature')}, ${effectiveness}`;
}

function goalFacts(build: Build): Fact[] {
  const { goal } = build;
  const { from } = build.engineSpeeds;
  const curve = goal.curves[goal.kind];
  const { quantity } = fieldAt(`goal.curves.${goal.kind}`);
  return facts(
    fact('Goal', GOALS[goal.kind]),
    fact(titleWithUnit('Goal at rpm', curve.unit, quantity), curveText(curve)),
    fact(
      'Engine speeds',
      `${from.text.trim()} to ${typed(build, 'engineSpeeds.to')} by ${build.engineSpeeds.step.text.trim()}`,
    ),
  );
}

function fuelFacts(build: Build): Fact[] {
  if (!build.fuelSupply.checked) return [fact('Fuel supply', 'not checked')];
  const reference = build.fuelSupply.railReference === 'manifold' ? 'over manifold' : 'over ambient';
  return facts(
    fact(
      'Injectors',
      `${build.fuelSupply.injectorCount.text.trim()} × ${typed(build, 'fuelSupply.injectorFlow') || 'not chosen'}, rated at ${typed(build, 'fuelSupply.injectorRatedPressure')}`,
    ),
    fact(
      'Rail, duty limit',
      joined([`${typed(build, 'fuelSupply.railPressure')} ${reference}`, typed(build, 'fuelSupply.dutyLimit')]),
    ),
    fact('Pump', typed(build, 'fuelSupply.pumpFlow')),
  );
}

/** The largest injectors and the most of the pump that the lines of the candidates ask for; nothing where the supply is not checked. */
function neededFacts(findings: readonly Finding[], units: ResultUnits): Fact[] {
  const needs = findings.filter(({ code }) => code === 'fuel-needed').map(({ values }) => values);
  if (needs.length === 0) return [];
  const most = (key: string) => Math.max(...needs.map((values) => values[key] ?? 0));
  const injector = injectorAtLeast(most('injectorFlowM3PerS'), units);
  return [fact('Needed', `${injector} each, pump ${pumpAtLeast(most('pumpFlowM3PerS'), units)}`)];
}

/** What the turbine hangs in; nothing where no candidate has one. */
function exhaustFacts(build: Build, units: ResultUnits): Fact[] {
  if (build.candidates.every(({ turbine }) => turbine.source === 'none')) return [];
  const { kind, curve } = build.exhaust.inletTemperature;
  const title = titleWithUnit('Turbine inlet', curve.unit, 'temperature');
  return facts(
    lossFact(build, 'exhaust', units),
    kind === 'estimated' ? fact('Turbine inlet', 'temperature estimated') : fact(title, curveText(curve)),
    fact('Vol. eff. at p3/p_m', typed(build, 'exhaust.measuredBackPressureRatio')),
  );
}

/** '0.10 @ 2000, 1.25 @ 3500, ...' in the digits that were typed; the unit stands with the title. */
function curveText(curve: TypedCurve): string {
  const rows = curve.rows.filter((row) => row.engineSpeed.trim() !== '' && row.value.trim() !== '');
  const [first] = rows;
  if (first === undefined) return 'not entered';
  if (rows.length === 1) return `${first.value.trim()} at every speed`;
  const at = ({ value, engineSpeed }: (typeof rows)[number]) =>
    `${value.trim()}${NO_BREAK_SPACE}@${NO_BREAK_SPACE}${engineSpeed.trim()}`;
  if (rows.length <= MOST_POINTS) return rows.map(at).join(', ');
  const ends = [first, rows.at(-1) ?? first].map(at).join(' … ');
  return `${ends} (${formatNumber(rows.length, 0)} points)`;
}

function titleWithUnit(title: string, unit: string, quantity: QuantityKey): string {
  const label = findUnit(quantity, unit)?.label ?? unit;
  return label === '' ? title : `${title}, ${label}`;
}

/** A field as it was typed, with its unit; '' when it is empty. */
function typed(build: Build, path: NumberPath): string {
  return typedText(getBuildField(build, path), fieldAt(path).quantity);
}

function fact(title: string, value: string): Fact {
  return { title, value };
}

/** Without those that were left empty. */
function facts(...all: readonly Fact[]): Fact[] {
  return all.filter(({ value }) => value !== '');
}
