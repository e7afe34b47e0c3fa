import {
  formatNumber,
  kgPerSToSheetFlow,
  NO_BREAK_SPACE,
  NO_NUMBER,
  type SheetFlowUnit,
  sheetFlowUnits,
} from '../units/index.ts';
import { type ResultUnits, type Shown, type ShowOptions, showResult } from './figures.ts';
import type { OperatingPointSolved, TurbineState } from './types.ts';

/*
 * Everything that an operating point, a line or a candidate has to show: what it is called, how it is read and how it is written. Tables,
 * read-outs, charts, sentences, files and paper pick from here by key, so that one number has one name and one rounding everywhere.
 */

type NumericKeys<T> = { [K in keyof T]-?: T[K] extends number | null ? K & string : never }[keyof T];

/** Of the capacity's own coordinates nothing is written: they are drawn in the units of the turbine's sheet. */
type OnlyDrawn = 'flowParameterM2' | 'reducedSpeed';

/** Every number of an operating point by the name of its property, what the turbine does under 'turbine.', and what follows from them. */
export type ResultKey =
  | NumericKeys<OperatingPointSolved>
  | `turbine.${Exclude<NumericKeys<TurbineState>, OnlyDrawn>}`
  | 'boostPa';

/** What is known of a point; any part may be missing, as at a place of the map that no engine drives to. */
export type ReadablePoint = Readonly<Partial<OperatingPointSolved>>;

export interface Result {
  /** In full: in sentences, choices and on axes. */
  title: string;
  /** In headings of files, where the title is too long for one; left out: the title. */
  heading?: string;
  /** Where room is short; left out: heading or title. */
  short?: string;
  shown: Shown;
  /**
   * Whose it is where several turbos work: one turbo's, or the engine's. Left out where it cannot be taken for the other: pressures,
   * temperatures, efficiencies and shares are the same for each and for all, power and torque at the crankshaft the engine's.
   */
  whose?: keyof typeof WHOSE;
  /** Known only where the turbine is, the size of its gate too, or where the fuel supply is checked. */
  needs?: 'turbine' | 'gate' | 'fuel-supply';
  /** Room in a table for its widest number and heading, px at the usual text size; left out: 70. */
  width?: number;
  /** Left out: the point's property of that name. `ambientPressurePa`: station pressure of the day, null while it cannot be read. */
  read?: (point: ReadablePoint, ambientPressurePa: number | null) => number | null | undefined;
}

/** Behind a title where there are several turbos. */
const WHOSE = { turbo: 'per turbo', engine: 'of the engine' } as const;

/** A number of a point that is not here does not compile. */
export const RESULTS: Readonly<Record<ResultKey, Result>> = {
  engineSpeedRpm: { title: 'Engine speed', shown: 'engine-speed' },
  boostPa: {
    title: 'Boost',
    shown: 'boost',
    width: 50,
    read: ({ manifoldPressurePa }, ambientPa) =>
      ambientPa === null || manifoldPressurePa === undefined ? null : manifoldPressurePa - ambientPa,
  },
  manifoldPressurePa: { title: 'Manifold pressure, absolute', heading: 'p_m absolute', shown: 'absolute-pressure' },
  pressureRatio: { title: 'Pressure ratio', shown: 'pressure-ratio', width: 62 },
  airMassFlowKgPerS: { title: 'Air flow', whose: 'engine', shown: 'air-flow', width: 68 },
  correctedMassFlowKgPerS: { title: 'Corrected flow', whose: 'turbo', shown: 'air-flow' },
  shaftSpeedRpm: { title: 'Shaft speed', whose: 'turbo', shown: 'shaft-speed', width: 76 },
  correctedSpeedRpm: { title: 'Corrected speed', whose: 'turbo', shown: 'shaft-speed', width: 76 },
  speedMargin: { title: 'Speed margin', whose: 'turbo', shown: 'margin' },
  surgeMargin: { title: 'Surge margin', whose: 'turbo', shown: 'margin' },
  chokeMargin: { title: 'Choke margin', whose: 'turbo', shown: 'margin' },
  surgeFlowDistance: { title: 'Flow distance to surge', short: 'To surge', whose: 'turbo', shown: 'margin' },
  efficiency: { title: 'Efficiency', shown: 'share' },
  tipSpeedMPerS: { title: 'Tip speed', whose: 'turbo', shown: 'tip-speed' },
  compressorInletPressurePa: { title: 'Compressor inlet pressure, absolute', short: 'p1', shown: 'absolute-pressure' },
  compressorInletTemperatureK: { title: 'Compressor inlet temperature', short: 'Inlet temp.', shown: 'temperature' },
  compressorOutletPressurePa: {
    title: 'Compressor outlet pressure, absolute',
    short: 'p2 absolute',
    shown: 'absolute-pressure',
  },
  compressorOutletTemperatureK: {
    title: 'Outlet temperature',
    short: 'Outlet temp.',
    shown: 'temperature',
    width: 66,
  },
  manifoldTemperatureK: { title: 'Manifold temperature', short: 'Manifold temp.', shown: 'temperature', width: 66 },
  wheelPowerW: { title: 'Wheel power', shown: 'power', width: 72 },
  brakePowerW: { title: 'Crank power', shown: 'power', width: 72 },
  compressorPowerW: { title: 'Compressor power', whose: 'turbo', shown: 'power', width: 82 },
  torqueNm: { title: 'Torque', shown: 'torque', width: 54 },
  fuelMassFlowKgPerS: { title: 'Fuel flow', whose: 'engine', shown: 'air-flow', width: 68 },
  injectorDuty: { title: 'Injector duty', shown: 'share', needs: 'fuel-supply', width: 60 },
  turbineInletPressurePa: {
    title: 'Turbine inlet pressure p3, absolute',
    heading: 'p3 absolute',
    shown: 'absolute-pressure',
    needs: 'turbine',
    width: 88,
  },
  backPressureRatio: {
    title: 'Back-pressure ratio p3/p_m',
    heading: 'p3/p_m ratio',
    short: 'p3/p_m',
    shown: 'pressure-ratio',
    needs: 'turbine',
    width: 60,
  },
  expansionRatio: { title: 'Expansion ratio', shown: 'pressure-ratio', needs: 'turbine' },
  wastegateShare: {
    title: 'Wastegate flow fraction',
    short: 'Wastegate flow',
    shown: 'share',
    needs: 'turbine',
    width: 76,
  },
  'turbine.gateAreaM2': {
    title: 'Effective area that the gate opens',
    heading: 'Gate area needed, effective',
    short: 'Gate area needed',
    whose: 'turbo',
    shown: 'opening',
    needs: 'turbine',
  },
  'turbine.gateOpening': {
    title: 'Gate opening needed',
    short: 'Gate opening',
    shown: 'share',
    needs: 'gate',
    width: 72,
  },
  'turbine.reachedShare': { title: 'Share of the goal that is reached', shown: 'share', needs: 'turbine' },
  'turbine.inletTemperatureK': {
    title: 'Turbine inlet temperature',
    short: 'Inlet temp.',
    shown: 'temperature',
    needs: 'turbine',
  },
  'turbine.outletPressurePa': {
    title: 'Turbine outlet pressure p4, absolute',
    heading: 'p4 absolute',
    shown: 'absolute-pressure',
    needs: 'turbine',
    width: 88,
  },
  'turbine.outletTemperatureK': { title: 'Turbine outlet temperature', shown: 'temperature', needs: 'turbine' },
  'turbine.massFlowKgPerS': { title: 'Flow through the turbine', whose: 'turbo', shown: 'air-flow', needs: 'turbine' },
  'turbine.efficiency': { title: 'Turbine efficiency', shown: 'share', needs: 'turbine' },
  'turbine.speedRatio': { title: 'Speed ratio U/C0', shown: 'number', needs: 'turbine' },
  'turbine.powerW': { title: 'Turbine power', whose: 'turbo', shown: 'power', needs: 'turbine' },
  'turbine.breathingFactor': { title: 'Breathing factor', shown: 'number', needs: 'turbine' },
};

/**
 * Which results stand where, in the order in which they stand there. A result that needs a turbine or a checked fuel supply is left out
 * where there is none.
 */
export const PLACES = {
  /** The table of operating points: on screen, copied, as a file and on paper. */
  pointTable: [
    'boostPa',
    'pressureRatio',
    'airMassFlowKgPerS',
    'shaftSpeedRpm',
    'speedMargin',
    'surgeMargin',
    'chokeMargin',
    'efficiency',
    'compressorOutletTemperatureK',
    'manifoldTemperatureK',
    'wheelPowerW',
    'brakePowerW',
    'torqueNm',
    'turbineInletPressurePa',
    'backPressureRatio',
    'expansionRatio',
    'wastegateShare',
    'turbine.gateOpening',
    'injectorDuty',
  ],
  /** Under the map: at a point of the line, or at any place. */
  mapReadOut: [
    'correctedMassFlowKgPerS',
    'pressureRatio',
    'efficiency',
    'correctedSpeedRpm',
    'shaftSpeedRpm',
    'speedMargin',
    'surgeMargin',
    'chokeMargin',
  ],
  /** Of every candidate at one engine speed: what decides. */
  candidateReadOut: ['wheelPowerW', 'shaftSpeedRpm', 'speedMargin', 'surgeMargin'],
  turbineReadOut: [
    'turbineInletPressurePa',
    'backPressureRatio',
    'expansionRatio',
    'wastegateShare',
    'turbine.inletTemperatureK',
  ],
  /** The numbers behind the charts of the turbine, copied with one decimal more: they are for computing on. */
  turbineCopy: [
    'turbineInletPressurePa',
    'turbine.outletPressurePa',
    'manifoldPressurePa',
    'backPressureRatio',
    'expansionRatio',
    'wastegateShare',
    'turbine.gateAreaM2',
    'turbine.gateOpening',
    'turbine.inletTemperatureK',
    'turbine.massFlowKgPerS',
  ],
  /** With the goal held, over altitude. */
  overAltitude: [
    'shaftSpeedRpm',
    'surgeMargin',
    'chokeMargin',
    'compressorOutletTemperatureK',
    'wheelPowerW',
    'turbineInletPressurePa',
    'backPressureRatio',
    'wastegateShare',
    'turbine.inletTemperatureK',
  ],
  /** What a filed sheet keeps. Their keys stand in files. */
  filed: [
    'correctedMassFlowKgPerS',
    'pressureRatio',
    'efficiency',
    'shaftSpeedRpm',
    'compressorOutletTemperatureK',
    'manifoldTemperatureK',
    'manifoldPressurePa',
    'brakePowerW',
    'wheelPowerW',
    'speedMargin',
    'surgeMargin',
    'chokeMargin',
    'turbineInletPressurePa',
    'backPressureRatio',
    'expansionRatio',
    'wastegateShare',
    'turbine.inletTemperatureK',
    'turbine.massFlowKgPerS',
    'turbine.powerW',
    'turbine.reachedShare',
  ],
} as const satisfies Record<string, readonly ResultKey[]>;

/** The results of a place for a build that has, or has not, a turbine and a checked fuel supply. */
export function resultsAt<Place extends keyof typeof PLACES>(
  place: Place,
  has: Readonly<Partial<Record<NonNullable<Result['needs']>, boolean | undefined>>>,
): readonly (typeof PLACES)[Place][number][] {
  const keys: readonly (typeof PLACES)[Place][number][] = PLACES[place];
  return keys.filter((key) => {
    const { needs } = RESULTS[key];
    return needs === undefined || has[needs] === true;
  });
}

/** Whether of a number it must be said whose it is. */
export type OfSeveral = Pick<ResultUnits, 'several'>;

/** 'per turbo', 'of the engine'; '' where there is one turbo, or no doubt. */
export function whoseWords(key: ResultKey, { several }: OfSeveral): string {
  const { whose } = RESULTS[key];
  return several && whose !== undefined ? WHOSE[whose] : '';
}

/** A title of one's own for a result, with several turbos with whose it is: 'Pickup frequency per turbo'. */
export function titleWithOwner(title: string, key: ResultKey | undefined, units: OfSeveral): string {
  return `${title} ${key === undefined ? '' : whoseWords(key, units)}`.trimEnd();
}

/** Name of a result in full: 'Outlet temperature'; with several turbos 'Shaft speed per turbo'. */
export function fullTitle(key: ResultKey, units: OfSeveral): string {
  return titleWithOwner(RESULTS[key].title, key, units);
}

/** Name of a result where room is short: 'Outlet temp.' */
export function shortTitle(key: ResultKey, units: OfSeveral): string {
  const { title, heading, short } = RESULTS[key];
  return titleWithOwner(short ?? heading ?? title, key, units);
}

/** Name of a result in the heading of a file: 'Outlet temperature', 'p3 absolute'. */
export function fileHeading(key: ResultKey, units: OfSeveral): string {
  return titleWithOwner(RESULTS[key].heading ?? RESULTS[key].title, key, units);
}

/** SI value of a result at a point; null where it is not known. */
export function readResult(
  key: ResultKey,
  point: ReadablePoint,
  ambientPressurePa: number | null = null,
): number | null {
  const { read } = RESULTS[key];
  if (read !== undefined) return read(point, ambientPressurePa) ?? null;
  if (key.startsWith('turbine.'))
    return point.turbine?.[key.slice('turbine.'.length) as NumericKeys<TurbineState>] ?? null;
  return point[key as NumericKeys<OperatingPointSolved>] ?? null;
}

/** Corrected flow as the axis of the map has it: its unit, and the state that it is corrected to. */
export interface MapFlow {
  unit: SheetFlowUnit;
  reference: { temperatureK: number; pressurePa: number };
}

/** A result of a point as the user reads it; '–' where it is not known, or there is no point. */
export function showPoint(
  key: ResultKey,
  point: ReadablePoint | null | undefined,
  units: ResultUnits,
  {
    ambientPressurePa = null,
    mapFlow,
    ...options
  }: ShowOptions & { ambientPressurePa?: number | null; mapFlow?: MapFlow } = {},
): string {
  const si = point == null ? null : readResult(key, point, ambientPressurePa);
  if (key !== 'correctedMassFlowKgPerS' || mapFlow === undefined) {
    return showResult(si, RESULTS[key].shown, units, options);
  }
  if (si === null || !Number.isFinite(si)) return NO_NUMBER;
  const { decimals, label } = sheetFlowUnits[mapFlow.unit];
  const number = formatNumber(kgPerSToSheetFlow(si, mapFlow.unit, mapFlow.reference), decimals);
  return options.withUnit === false ? number : `${number}${NO_BREAK_SPACE}${label}`;
}

const MAP_MARGINS: ReadonlySet<ResultKey> = new Set(['surgeMargin', 'surgeFlowDistance', 'chokeMargin']);

/**
 * The point of a line at which a result is highest or lowest; points that do not know it do not count, nor do margins against a guess.
 * @returns the point with its value in SI; null where no point knows it
 */
export function extremeOf<P extends ReadablePoint>(
  points: readonly P[],
  key: ResultKey,
  take: 'highest' | 'lowest',
): { point: P; value: number } | null {
  const sign = take === 'highest' ? 1 : -1;
  let found: { point: P; value: number } | null = null;
  for (const point of points) {
    const value = point.belowLowestLine && MAP_MARGINS.has(key) ? null : readResult(key, point);
    if (value !== null && (found === null || sign * value > sign * found.value)) found = { point, value };
  }
  return found;
}
