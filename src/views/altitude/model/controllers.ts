import type { Build } from '../../../build/index.ts';
import {
  bindingKind,
  bindingLook,
  decimalsShown,
  fullTitle,
  type HeldGoal,
  isShortOfGoal,
  type OperatingPointSolved,
  RESULTS,
  type ResultUnits,
  type Shown,
  showResult,
  unitLabel,
  valueShown,
} from '../../../match/index.ts';
import type { LineLimit, StandingLines } from '../../../plot/index.ts';
import type { CandidateStudy } from '../../../store/index.ts';
import { formatNumber, rpmText } from '../../../units/index.ts';
import { altitudeText, altitudeUnit } from '../../shared/altitudeStudies.ts';
import { altitudeAxis, overAltitude, shaftLimits } from './heldGoalCharts.ts';

type Comparison = CandidateStudy['controllers'];

/** The three quantities in which the two controllers part, each a small chart of two lines. */
interface ControllerChart {
  key: string;
  label: string;
  model: StandingLines;
}

const QUANTITIES = ['manifoldPressurePa', 'shaftSpeedRpm', 'wheelPowerW'] as const;

/** Manifold pressure, shaft speed and power over altitude at one engine speed, with either controller. */
export function controllerCharts(
  build: Build,
  comparison: Comparison,
  rpm: number,
  units: ResultUnits,
): ControllerChart[] {
  const limits = shaftLimits({ held: comparison.gauge }, '').map(
    (limit): LineLimit => ({ ...limit, label: limit.label.trim() }),
  );
  return QUANTITIES.map((key) => {
    const { shown } = RESULTS[key];
    const title = fullTitle(key, units);
    const inUnit = (point: OperatingPointSolved) => valueShown(point[key], shown, units);
    const series = (id: 'gauge' | 'absolute') => ({
      id,
      name: id,
      style: id === 'gauge' ? ('plain' as const) : ('dashed' as const),
      weight: 'main' as const,
      points: overAltitude(build, comparison[id], rpm, inUnit),
    });
    return {
      key,
      label: `${title} over altitude at ${rpmText(rpm)}, two kinds of controller`,
      model: {
        xAxis: altitudeAxis(build, comparison.gauge.places.slice(1)),
        valueAxis: { title, unit: unitLabel(shown, units), decimals: decimalsShown(shown, units) },
        series: [series('gauge'), series('absolute')],
        limits: key === 'shaftSpeedRpm' ? limits : [],
        names: 'end',
      },
    };
  });
}

interface ControllerWords {
  title: string;
  sentences: readonly string[];
}

/** What each controller does on the way up from where the car stands, for a customer. */
export function controllerWords(
  build: Build,
  comparison: Comparison,
  rpm: number,
  units: ResultUnits,
): ControllerWords[] {
  const unit = altitudeUnit(build);
  return [
    {
      title: 'A controller that holds gauge pressure',
      sentences: [
        'It keeps the boost on the gauge the same. As the air outside gets thinner, the engine gets less of it: power falls with altitude.',
        changeWords(comparison.gauge, rpm, unit, units),
        ...limitWords(comparison.gauge, rpm, unit),
      ],
    },
    {
      title: 'A controller that holds absolute pressure',
      sentences: [
        'It keeps the pressure in the manifold the same, whatever the air outside. Power stays, but the turbo has to make up for the thin air and runs into its limits sooner.',
        changeWords(comparison.absolute, rpm, unit, units),
        ...limitWords(comparison.absolute, rpm, unit),
      ],
    },
  ];
}

/** 'At 3,000 m: power at the wheels 172 kW instead of 205 kW (−16 %), shaft speed ...'; as far up as there is a point. */
function changeWords(held: HeldGoal, rpm: number, unit: 'm' | 'ft', units: ResultUnits): string {
  const column = held.engineSpeedsRpm.indexOf(rpm);
  const home = held.cells[0]?.[column]?.point;
  const row = held.cells.findLastIndex((cells) => cells[column]?.point.status === 'ok');
  const top = held.cells[row]?.[column]?.point;
  if (home?.status !== 'ok' || top?.status !== 'ok') return 'There is no operating point to begin with.';
  const of = (name: string, shown: Shown, read: (point: OperatingPointSolved) => number) => {
    const share = (read(top) / read(home) - 1) * 100;
    const sign = share >= 0.5 ? '+' : '';
    return `${name} ${showResult(read(top), shown, units)} instead of ${showResult(read(home), shown, units)} (${sign}${formatNumber(share, 0)}\u00a0%)`;
  };
  const altitude = altitudeText(held.places[row]?.altitudeM ?? null, unit);
  const power = of('power at the wheels', 'power', (point) => point.wheelPowerW);
  const shaft = of('shaft speed', 'shaft-speed', (point) => Math.round(point.shaftSpeedRpm / 100) * 100);
  const above = held.cells[row + 1]?.[column]?.point.status;
  const ends = above === undefined || above === 'ok' ? '' : ` Above that ${bindingLook(above).reason}.`;
  const left = gateWords(top, home, units);
  return `At ${altitude}, against today: ${power}, ${shaft}${left}.${ends}`;
}

/** Below this a share shows as none. */
const SHUT = 0.0005;

/** ', wastegate flow 12 % instead of 20 %': how much more the turbine could take. */
function gateWords(top: OperatingPointSolved, home: OperatingPointSolved, units: ResultUnits): string {
  if (top.wastegateShare === null || home.wastegateShare === null) return '';
  if (Math.max(top.wastegateShare, home.wastegateShare) < SHUT) return ', both with the gate shut';
  const share = (point: OperatingPointSolved) => showResult(point.wastegateShare, 'share', units);
  return `, wastegate flow ${share(top)} instead of ${share(home)}`;
}

/** From which altitude up the exhaust does not drive the target; '' where it does up to the highest. */
function undrivenWords(held: HeldGoal, rpm: number, unit: 'm' | 'ft'): string {
  const column = held.engineSpeedsRpm.indexOf(rpm);
  // The first place is that of the day; the others rise.
  const short = held.cells.slice(1).map((row) => {
    const point = row[column]?.point;
    return point !== undefined && isShortOfGoal(point);
  });
  if (short.at(-1) !== true) return '';
  const from = short.lastIndexOf(false) + 1;
  const where =
    from === 0 ? 'At every altitude' : `From ${altitudeText(held.places[from + 1]?.altitudeM ?? null, unit)} up`;
  return `${where} the exhaust drives less than this target: the gate is shut, and pressure and power fall.`;
}

/** What the target comes up against on the way; an exhaust that is too weak is said once. */
function limitWords(held: HeldGoal, rpm: number, unit: 'm' | 'ft'): string[] {
  const undriven = undrivenWords(held, rpm, unit);
  const crossing = held.crossings.find(({ engineSpeedRpm }) => engineSpeedRpm === rpm);
  const isSaid = undriven !== '' && crossing?.limit != null && bindingKind(crossing.limit) === 'turbine';
  return [isSaid ? '' : crossingWords(held, rpm, unit), undriven].filter((sentence) => sentence !== '');
}

function crossingWords(held: HeldGoal, rpm: number, unit: 'm' | 'ft'): string {
  const crossing = held.crossings.find(({ engineSpeedRpm }) => engineSpeedRpm === rpm);
  if (crossing === undefined) return '';
  const top = altitudeText(held.places.at(-1)?.altitudeM ?? null, unit);
  const limit = bindingLook(crossing.limit ?? 'not-converged').name.toLowerCase();
  if (crossing.status === 'holds') return `Every limit holds up to ${top}.`;
  if (crossing.status === 'from-lowest') return `A limit is crossed already at the lowest altitude: ${limit}.`;
  return `The first limit is crossed at ${altitudeText(Math.floor(crossing.altitudeM ?? 0), unit)}: ${limit}.`;
}
