import type { Build } from '../../../build/index.ts';
import type { LineChartModel, LineLimit } from '../../../plot/index.ts';
import type { CandidateStudy, HeldGoal, OperatingPointSolved } from '../../../store/index.ts';
import { formatNumber, fromSi, unitOf } from '../../../units/index.ts';
import { quantityShown, type ResultUnits, type Shown, showResult, unitShown } from '../../shared/resultUnits.ts';
import { bindingWords } from './bindingWords.ts';
import { altitudeText, altitudeUnit, rpmText } from './placeNames.ts';
import { altitudeAxis, overAltitude, shaftLimits } from './shaftOverAltitude.ts';

type Comparison = CandidateStudy['controllers'];

/** The three quantities in which the two controllers part, each a small chart of two lines. */
export interface ControllerChart {
  key: string;
  label: string;
  model: Omit<LineChartModel, 'focusX' | 'focusSeriesId'>;
}

const QUANTITIES: readonly {
  key: string;
  title: string;
  shown: Shown;
  decimals: number;
  read: (point: OperatingPointSolved) => number;
}[] = [
  {
    key: 'pressure',
    title: 'Manifold pressure, absolute',
    shown: 'absolute-pressure',
    decimals: 0,
    read: (point) => point.manifoldPressurePa,
  },
  { key: 'shaft', title: 'Shaft speed', shown: 'shaft-speed', decimals: 0, read: (point) => point.shaftSpeedRpm },
  { key: 'power', title: 'Power at the wheels', shown: 'power', decimals: 0, read: (point) => point.wheelPowerW },
];

const DECIMALS: Readonly<Record<string, number>> = { bar: 2, psi: 1 };

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
  return QUANTITIES.map(({ key, title, shown, decimals, read }) => {
    const unit = unitShown(shown, units);
    const inUnit = (point: OperatingPointSolved) => fromSi(read(point), quantityShown(shown), unit);
    const series = (id: 'gauge' | 'absolute') => ({
      id,
      name: id === 'gauge' ? 'holds gauge' : 'holds absolute',
      style: id === 'gauge' ? ('plain' as const) : ('absolute' as const),
      weight: 'main' as const,
      points: overAltitude(build, comparison[id], rpm, inUnit),
    });
    return {
      key,
      label: `${title} over altitude at ${rpmText(rpm)}, two kinds of controller`,
      model: {
        xAxis: altitudeAxis(build, comparison.gauge.places.slice(1)),
        valueAxis: {
          title,
          unit: unitOf(quantityShown(shown), unit).label,
          decimals: DECIMALS[unit] ?? decimals,
          include: [],
        },
        bands: [],
        series: [series('gauge'), series('absolute')],
        limits: key === 'shaft' ? limits : [],
        names: 'along',
      },
    };
  });
}

export interface ControllerWords {
  title: string;
  sentences: readonly string[];
}

/** What each controller does on the way from where the car stands to the highest altitude, for a customer. */
export function controllerWords(
  build: Build,
  comparison: Comparison,
  rpm: number,
  units: ResultUnits,
): ControllerWords[] {
  const highest = comparison.gauge.places.at(-1);
  const unit = altitudeUnit(build);
  const top = altitudeText(highest?.altitudeM ?? null, unit);
  return [
    {
      title: 'A controller that holds gauge pressure',
      sentences: [
        `The boost on the gauge stays the same. The air outside gets thinner, so the engine gets less: ${change(comparison.gauge, rpm, units)} at ${top}.`,
        crossingWords(comparison.gauge, rpm, unit, top),
      ],
    },
    {
      title: 'A controller that holds absolute pressure',
      sentences: [
        `The pressure in the manifold stays the same whatever the air outside, so the turbo must make up for it: ${change(comparison.absolute, rpm, units)} at ${top}.`,
        crossingWords(comparison.absolute, rpm, unit, top),
      ],
    },
  ];
}

/** 'power 172 kW instead of 205 kW (−16 %), shaft speed 151,200 rpm instead of 146,000 rpm (+4 %)' */
function change(held: HeldGoal, rpm: number, units: ResultUnits): string {
  const column = held.engineSpeedsRpm.indexOf(rpm);
  const home = held.cells[0]?.[column]?.point;
  const top = held.cells.at(-1)?.[column]?.point;
  if (home?.status !== 'ok') return 'there is no operating point to begin with';
  if (top?.status !== 'ok') return `there is no operating point (${top?.message ?? 'not computed'})`;
  const of = (name: string, shown: Shown, read: (point: OperatingPointSolved) => number) => {
    const share = (read(top) / read(home) - 1) * 100;
    const signed = `${share > 0 ? '+' : ''}${formatNumber(share, 0)}`;
    return `${name} ${showResult(read(top), shown, units)} instead of ${showResult(read(home), shown, units)} (${signed}\u00a0%)`;
  };
  return [
    of('power at the wheels', 'power', (point) => point.wheelPowerW),
    of('shaft speed', 'shaft-speed', (point) => Math.round(point.shaftSpeedRpm / 100) * 100),
  ].join(', ');
}

function crossingWords(held: HeldGoal, rpm: number, unit: 'm' | 'ft', top: string): string {
  const crossing = held.crossings.find(({ engineSpeedRpm }) => engineSpeedRpm === rpm);
  if (crossing === undefined) return '';
  const limit = bindingWords(crossing.limit ?? 'not-converged').name.toLowerCase();
  if (crossing.status === 'holds') return `At ${rpmText(rpm)} every limit holds up to ${top}.`;
  if (crossing.status === 'from-lowest')
    return `At ${rpmText(rpm)} a limit is crossed already at the lowest altitude: ${limit}.`;
  return `At ${rpmText(rpm)} the first limit is crossed at ${altitudeText(Math.floor(crossing.altitudeM ?? 0), unit)}: ${limit}.`;
}
