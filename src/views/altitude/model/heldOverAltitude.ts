import type { Build } from '../../../build/index.ts';
import type { OperatingPointSolved, StudyLimits } from '../../../match/index.ts';
import { quantityShown, type ResultUnits, type Shown, unitShown } from '../../../match/index.ts';
import type { LineChartModel, LineLimit, LineSeries } from '../../../plot/index.ts';
import type { CandidateStudy } from '../../../store/index.ts';
import { formatNumber, fromSi, unitOf } from '../../../units/index.ts';
import { candidateLetter } from '../../shared/provenance.ts';
import { altitudeAxis, overAltitude, shaftLimits } from './shaftOverAltitude.ts';

/** What can be shown over altitude while a goal is held. */
export type HeldQuantity = 'shaft' | 'surge' | 'choke' | 'outlet' | 'power' | DrivenQuantity;

/** What needs a turbine. */
type DrivenQuantity = 'turbine-pressure' | 'back-pressure' | 'gate' | 'turbine-temperature';

interface Row {
  title: string;
  shown: Shown;
  decimals: number;
  read: (point: OperatingPointSolved) => number | null;
  /** The least or the most that is allowed, SI. */
  limit?: (limits: StudyLimits) => { value: number | undefined; words: string };
}

const ROWS: Readonly<Record<HeldQuantity, Row>> = {
  shaft: { title: 'Shaft speed', shown: 'shaft-speed', decimals: 0, read: (point) => point.shaftSpeedRpm },
  surge: {
    title: 'Surge margin',
    shown: 'margin',
    decimals: 1,
    read: (point) => point.surgeMargin,
    limit: (limits) => ({ value: limits.surgeMargin, words: 'least' }),
  },
  choke: {
    title: 'Choke margin',
    shown: 'margin',
    decimals: 1,
    read: (point) => point.chokeMargin,
    limit: (limits) => ({ value: limits.chokeMargin, words: 'least' }),
  },
  outlet: {
    title: 'Compressor outlet temperature',
    shown: 'temperature',
    decimals: 0,
    read: (point) => point.compressorOutletTemperatureK,
    limit: (limits) => ({ value: limits.compressorOutletTemperatureK, words: 'limit' }),
  },
  power: { title: 'Power at the wheels', shown: 'power', decimals: 0, read: (point) => point.wheelPowerW },
  'turbine-pressure': {
    title: 'Pressure before the turbine p3, absolute',
    shown: 'absolute-pressure',
    decimals: 0,
    read: (point) => point.turbineInletPressurePa,
  },
  'back-pressure': {
    title: 'Back-pressure ratio p3/p_m',
    shown: 'pressure-ratio',
    decimals: 2,
    read: (point) => point.backPressureRatio,
    limit: (limits) => ({ value: limits.backPressureRatio, words: 'limit' }),
  },
  gate: {
    title: 'Gate share, of the exhaust past the turbine',
    shown: 'share',
    decimals: 0,
    read: (point) => point.wastegateShare,
  },
  'turbine-temperature': {
    title: 'Turbine inlet temperature',
    shown: 'temperature',
    decimals: 0,
    read: (point) => point.turbine?.inletTemperatureK ?? null,
    limit: (limits) => ({ value: limits.turbineInletTemperatureK, words: 'limit' }),
  },
};

const DRIVEN: ReadonlySet<HeldQuantity> = new Set<DrivenQuantity>([
  'turbine-pressure',
  'back-pressure',
  'gate',
  'turbine-temperature',
]);

/** What there is to choose from: the turbine's only where one is known. */
export function heldQuantities(hasTurbine: boolean): { key: HeldQuantity; name: string }[] {
  return (Object.keys(ROWS) as HeldQuantity[])
    .filter((key) => hasTurbine || !DRIVEN.has(key))
    .map((key) => ({ key, name: ROWS[key].title }));
}

/** A bar needs two decimals where a kilopascal needs none. */
const DECIMALS: Readonly<Record<string, number>> = { bar: 2, psi: 1 };

/** One quantity over altitude with the goal held, for each candidate at the chosen engine speeds, against its limits. */
export function heldOverAltitude(
  build: Build,
  candidates: readonly (CandidateStudy | null)[],
  engineSpeedsRpm: readonly number[],
  quantity: HeldQuantity,
  units: ResultUnits,
): Omit<LineChartModel, 'focusX' | 'focusSeriesId'> {
  const { title, shown, decimals, read } = ROWS[quantity];
  const unit = unitShown(shown, units);
  const inUnit = (si: number) => fromSi(si, quantityShown(shown), unit);
  const value = (point: OperatingPointSolved) => inUnit(read(point) ?? Number.NaN);
  const seriesOf = (study: CandidateStudy, index: number) =>
    engineSpeedsRpm.map((rpm, i): LineSeries => {
      const letter = candidateLetter(index);
      return {
        id: `${letter}-${rpm}`,
        name: `${letter} ${formatNumber(rpm, 0)}`,
        style: index % 2 === 0 ? 'a' : 'b',
        weight: 'main',
        shade: engineSpeedsRpm.length < 2 ? 1 : 0.35 + (0.65 * i) / (engineSpeedsRpm.length - 1),
        points: overAltitude(build, study.held, rpm, value),
      };
    });
  return {
    xAxis: altitudeAxis(build, candidates.find((study) => study !== null)?.held.places ?? []),
    valueAxis: {
      title,
      unit: unitOf(quantityShown(shown), unit).label,
      decimals: DECIMALS[unit] ?? decimals,
      include: [],
      ...(shown === 'share' && { bounds: { low: 0, high: 100 } }),
    },
    bands: [],
    series: candidates.flatMap((study, index) => (study === null ? [] : seriesOf(study, index))),
    limits: limitsOf(candidates, quantity, inUnit),
    names: 'end',
  };
}

/** Shaft speeds have a limit each; the other limits are those of the build, one line for all. */
function limitsOf(
  candidates: readonly (CandidateStudy | null)[],
  quantity: HeldQuantity,
  inUnit: (si: number) => number,
): LineLimit[] {
  if (quantity === 'shaft') {
    return candidates.flatMap((study, index) => (study === null ? [] : shaftLimits(study, candidateLetter(index))));
  }
  const limits = candidates.find((study) => study !== null)?.held.limits;
  const limit = limits && ROWS[quantity].limit?.(limits);
  if (limit?.value === undefined) return [];
  const value = inUnit(limit.value);
  return [{ label: `${limit.words} ${limitText(value)}`, value, severity: 'stop' }];
}

/** As it was entered: no more decimals than it needs. */
function limitText(value: number): string {
  const decimals = [0, 1].find((places) => Math.abs(value - Number(value.toFixed(places))) < 1e-6) ?? 2;
  return formatNumber(value, decimals);
}
