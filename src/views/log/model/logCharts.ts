import { type LogRows, mapGeometry, speedLineAt } from '../../../build/index.ts';
import {
  decimalsShown,
  fullTitle,
  type ResultUnits,
  type Shown,
  showResult,
  unitLabel,
  valueShown,
} from '../../../match/index.ts';
import type { FittedVePoint, LogChannelKey, RoadLogResult, RoadLogRow } from '../../../match/types.ts';
import type { CandidateStyle, LineChartModel, MapChart, PlotMeasured } from '../../../plot/index.ts';
import type { CandidateResults } from '../../../store/index.ts';
import { formatNumber, type SheetFlowUnit } from '../../../units/index.ts';
import { mapChart, speedLabels } from '../../shared/mapDrawing.ts';

/** The map itself, its speed lines as shaft speeds at the inlet temperature of the log. */
export function logMapChart(
  { surface, sheet, points, input }: CandidateResults,
  flowUnit: SheetFlowUnit,
): MapChart | null {
  if (surface === null || sheet === null) return null;
  const geometry = mapGeometry(surface, sheet);
  const solved = points.find((point) => point.status === 'ok');
  const factor = solved?.status === 'ok' ? solved.shaftSpeedRpm / solved.correctedSpeedRpm : null;
  const limitRpm = input?.limits.shaftSpeedRpm ?? surface.limits.shaftSpeedRpm ?? null;
  return mapChart(geometry, {
    flowUnit,
    labels: 'corrected',
    speedLabels: speedLabels(geometry, null),
    inletTemperature: '',
    several: (input?.turboCount ?? 1) > 1 || undefined,
    limit:
      limitRpm === null || factor === null ? null : { rpm: limitRpm, pieces: speedLineAt(surface, limitRpm / factor) },
  });
}

/** A band wider than this share of the flow says no more; its row is drawn by its ratio alone. */
const WIDEST = 0.35;

const LEAST_BETWEEN_BARS = 0.05;

/** Rows on the map, one standard deviation to either side. */
export function measuredOnMap(rows: readonly RoadLogRow[]): PlotMeasured[] {
  let lastBar = Number.NaN;
  return rows.flatMap((row): PlotMeasured[] => {
    const { correctedMassFlowKgPerS: flow, pressureRatio, volumetricEfficiency, standardDeviation } = row;
    if (pressureRatio === null) return [];
    const share =
      standardDeviation === null || !volumetricEfficiency
        ? null
        : Math.min(standardDeviation / volumetricEfficiency, WIDEST);
    const [low, high] = [row.flows[0], row.flows.at(-1)];
    if (flow === null || row.reading === 'none') {
      // Bars side by side would hide the map.
      if (Math.abs(pressureRatio - lastBar) < LEAST_BETWEEN_BARS) return [];
      lastBar = pressureRatio;
      const centre = flow ?? low ?? null;
      const band =
        centre === null
          ? null
          : ([
              Math.min(low ?? centre, centre * (1 - WIDEST)),
              Math.max(high ?? centre, centre * (1 + WIDEST)),
            ] as const);
      return [{ flowKgPerS: flow, pressureRatio, band, kind: 'ratio' }];
    }
    const band = share === null ? null : ([flow * (1 - share), flow * (1 + share)] as const);
    return [
      { flowKgPerS: flow, pressureRatio, band, kind: row.used ? (row.reading === 'good' ? 'good' : 'weak') : 'out' },
    ];
  });
}

const BLANK = { bands: [], limits: [], names: 'along', focusSeriesId: null } as const;

interface Quantity {
  key: LogChannelKey;
  shown: Shown;
  title: string;
}
export const OVER_TIME: readonly Quantity[] = [
  { key: 'engineSpeed', shown: 'engine-speed', title: 'Engine speed' },
  { key: 'manifoldPressure', shown: 'absolute-pressure', title: 'Manifold pressure, absolute' },
  { key: 'shaftSpeed', shown: 'shaft-speed', title: 'Shaft speed' },
];

/** One channel over the time from and to, with the predicted shaft speed where there is one. */
export function overTime(
  { key, shown, title }: Quantity,
  rows: LogRows,
  result: RoadLogResult | null,
  window: readonly [number, number],
  units: ResultUnits,
  ofCandidate: CandidateStyle,
): Omit<LineChartModel, 'focusX'> {
  const values = rows.channels.find((channel) => channel.key === key)?.values ?? [];
  const [from, to] = window;
  const points = (rows.timeS ?? values.map((_, row) => row)).flatMap((x, row) => {
    const value = values[row];
    return x < from || x > to
      ? []
      : [value === null || value === undefined ? null : { x, value: valueShown(value, shown, units) }];
  });
  const predicted =
    key !== 'shaftSpeed'
      ? []
      : (result?.rows ?? []).flatMap(({ timeS, predictedShaftSpeedRpm: speed, pull }, at, all) => {
          if (timeS === null || timeS < from || timeS > to) return [];
          const point = speed === null ? null : { x: timeS, value: valueShown(speed, shown, units) };
          return all[at - 1]?.pull === pull ? [point] : [null, point];
        });
  return {
    ...BLANK,
    widestTick: '200\u202f000',
    xAxis: { title: rows.timeS ? 'Time' : 'Row', unit: rows.timeS ? 's' : '', decimals: 1, min: from, max: to },
    valueAxis: { title, unit: unitLabel(shown, units), decimals: decimalsShown(shown, units) },
    series: [
      { id: 'measured', name: 'logged', style: 'plain', weight: 'main', points: thinned(withGaps(points)) },
      ...(predicted.length === 0
        ? []
        : [{ id: 'predicted', name: 'predicted', style: ofCandidate, weight: 'second' as const, points: predicted }]),
    ],
  };
}

/** More than this no screen shows side by side; a shorter stretch of time shows all of its rows. */
const MOST_POINTS = 900;

function thinned<T>(points: readonly (T | null)[]): (T | null)[] {
  const every = Math.ceil(points.length / MOST_POINTS);
  return points.filter((point, at) => point === null || at % every === 0);
}

/** A line is broken where rows were left out. */
function withGaps(points: readonly ({ x: number; value: number } | null)[]) {
  const times = points.flatMap((point) => (point === null ? [] : [point.x]));
  const steps = times.slice(1).map((x, at) => x - times[at]!);
  const usual = steps.toSorted((a, b) => a - b)[steps.length >> 1] ?? 0;
  let last: number | null = null;
  return points.flatMap((point) => {
    const isGap = point !== null && last !== null && point.x - last > Math.max(10 * usual, 0.5);
    if (point !== null) last = point.x;
    return isGap ? [null, point] : [point];
  });
}

/** Mean of what rows give in bins of engine speed; a bin without one breaks the line. */
function binned(rows: readonly RoadLogRow[], of: (row: RoadLogRow) => number | null, step = 100) {
  const bins = new Map<number, { sum: number; count: number }>();
  for (const row of rows) {
    const value = of(row);
    if (value === null || !Number.isFinite(value)) continue;
    const bin = Math.round(row.engineSpeedRpm / step) * step;
    const { sum, count } = bins.get(bin) ?? { sum: 0, count: 0 };
    bins.set(bin, { sum: sum + value, count: count + 1 });
  }
  return [...bins].sort(([a], [b]) => a - b).map(([x, { sum, count }]) => ({ x, value: sum / count }));
}

function speedAxis(rows: readonly RoadLogRow[]) {
  const speeds = rows.map(({ engineSpeedRpm }) => engineSpeedRpm);
  return {
    title: 'Engine speed',
    unit: 'rpm',
    decimals: 0,
    min: Math.floor(Math.min(...speeds) / 250) * 250,
    max: Math.ceil(Math.max(...speeds) / 250) * 250,
  };
}

/** Predicted and measured shaft speed over engine speed, means of 100 rpm. */
export function shaftOverSpeed(
  rows: readonly RoadLogRow[],
  units: ResultUnits,
  ofCandidate: CandidateStyle,
): Omit<LineChartModel, 'focusX'> | null {
  const taken = rows.filter(({ used }) => used);
  const mean = (of: (row: RoadLogRow) => number | null) =>
    binned(taken, (row) => {
      const value = of(row);
      return value === null ? null : valueShown(value, 'shaft-speed', units);
    });
  const measured = mean(({ shaftSpeedRpm }) => shaftSpeedRpm);
  if (measured.length < 2) return null;
  return {
    ...BLANK,
    xAxis: speedAxis(taken),
    valueAxis: { title: fullTitle('shaftSpeedRpm', units), unit: 'rpm', decimals: 0 },
    series: [
      { id: 'measured', name: 'measured', style: 'plain', weight: 'main', points: measured },
      {
        id: 'predicted',
        name: 'predicted',
        style: ofCandidate,
        weight: 'second',
        points: mean((row) => row.predictedShaftSpeedRpm),
      },
    ],
  };
}

/** Volumetric efficiency of single rows in means of 100 rpm, as entered, and as the joint fit gives it with its band of one deviation. */
export function efficiencyOverSpeed(
  rows: readonly RoadLogRow[],
  entered: (rpm: number) => number | null,
  fit: readonly FittedVePoint[],
): Omit<LineChartModel, 'focusX'> | null {
  const metered = rows.filter(({ used, reading }) => used && reading !== 'none');
  const single = binned(metered, ({ volumetricEfficiency }) =>
    volumetricEfficiency === null ? null : 100 * volumetricEfficiency,
  );
  if (single.length < 2 && fit.length < 2) return null;
  const axis = speedAxis(rows);
  const steps = Array.from({ length: Math.round((axis.max - axis.min) / 100) + 1 }, (_, at) => axis.min + 100 * at);
  return {
    ...BLANK,
    xAxis: axis,
    valueAxis: { title: 'Volumetric efficiency', unit: '%', decimals: 1 },
    bands: [
      {
        id: 'fit-band',
        style: 'plain',
        points: fit.map(({ engineSpeedRpm: x, value, standardDeviation: s }) => ({
          x,
          low: 100 * (value - s),
          high: 100 * (value + s),
        })),
      },
    ],
    series: [
      ...(fit.length < 2
        ? []
        : [
            {
              id: 'fit',
              name: 'joint fit',
              style: 'plain' as const,
              weight: 'main' as const,
              points: fit.map(({ engineSpeedRpm: x, value }) => ({ x, value: 100 * value })),
            },
          ]),
      { id: 'rows', name: 'single rows', style: 'plain', weight: 'second', shade: 0.5, points: single },
      {
        id: 'entered',
        name: 'entered',
        style: 'dashed',
        weight: 'second',
        points: steps.flatMap((x) => {
          const value = entered(x);
          return value === null ? [] : [{ x, value: 100 * value }];
        }),
      },
    ],
  };
}

/** A row in words: where it was taken and what it gave. */
export function rowWords(row: RoadLogRow, units: ResultUnits): { title: string; value: string }[] {
  const share = (value: number | null) => (value === null ? '–' : `${formatNumber(100 * value, 1)} %`);
  return [
    { title: 'Time', value: row.timeS === null ? '–' : `${formatNumber(row.timeS, 2)} s` },
    { title: 'Engine speed', value: showResult(row.engineSpeedRpm, 'engine-speed', units) },
    { title: 'Manifold pressure', value: showResult(row.manifoldPressurePa, 'absolute-pressure', units) },
    { title: 'Pressure ratio', value: showResult(row.pressureRatio, 'pressure-ratio', units) },
    { title: fullTitle('shaftSpeedRpm', units), value: showResult(row.shaftSpeedRpm, 'shaft-speed', units) },
    { title: 'Predicted', value: showResult(row.predictedShaftSpeedRpm, 'shaft-speed', units) },
    {
      title: fullTitle('correctedMassFlowKgPerS', units),
      value: showResult(row.correctedMassFlowKgPerS, 'air-flow', units),
    },
    { title: 'Vol. efficiency', value: share(row.volumetricEfficiency) },
    { title: '± one deviation', value: share(row.standardDeviation) },
    { title: 'Amplification', value: row.amplification === null ? '–' : formatNumber(row.amplification, 1) },
  ];
}
