import type { LineChartModel, LineLimit, LineSeries, LineSpan } from '../../../../plot/index.ts';
import { formatNumber, fromSi, unitOf } from '../../../../units/index.ts';
import { type ResultUnits, showResult, unitShown } from '../../../shared/resultUnits.ts';
import { type DrivenPoint, drivenPoints, type TurbineSide } from './turbineSide.ts';

/** A chart without what is pointed at. */
export type StandingChart = Omit<LineChartModel, 'focusX' | 'focusSeriesId'>;

export interface BackPressureChart {
  key: 'pressures' | 'ratio' | 'gate';
  /** What it shows, read out. */
  label: string;
  model: StandingChart;
}

type Read = (point: DrivenPoint) => number;

function seriesOf(
  { letter, style, results }: TurbineSide,
  key: string,
  name: string,
  look: Pick<LineSeries, 'weight'> & Partial<Pick<LineSeries, 'style' | 'shade' | 'quiet'>>,
  read: Read,
): LineSeries {
  return {
    id: `${key}-${letter}`,
    name,
    style,
    ...look,
    points: drivenPoints(results).map((point) => point && { x: point.engineSpeedRpm, value: read(point) }),
  };
}

function speedAxis(sides: readonly TurbineSide[]): LineChartModel['xAxis'] {
  const speeds = sides.flatMap(({ results }) => results.points.map(({ engineSpeedRpm }) => engineSpeedRpm));
  return {
    title: 'Engine speed',
    unit: 'rpm',
    decimals: 0,
    min: speeds.length === 0 ? 0 : Math.min(...speeds),
    max: speeds.length === 0 ? 1 : Math.max(...speeds),
  };
}

/** Before and behind the turbine and in the manifold, absolute. With two candidates p4, which they nearly share, is left out. */
function pressures(
  sides: readonly TurbineSide[],
  units: ResultUnits,
  ambientPressurePa: number | null,
  xAxis: LineChartModel['xAxis'],
): StandingChart {
  const unit = unitShown('absolute-pressure', units);
  const shown = (pa: number) => fromSi(pa, 'pressure-absolute', unit);
  const isOne = sides.length === 1;
  const named = (letter: string, name: string) => (isOne ? name : `${letter} ${name}`);
  const series = sides.flatMap((side) => [
    seriesOf(side, 'p3', named(side.letter, 'p3'), { weight: 'main' }, (p) => shown(p.turbineInletPressurePa)),
    seriesOf(side, 'pm', named(side.letter, 'p_m'), { weight: 'second' }, (p) => shown(p.manifoldPressurePa)),
    ...(isOne
      ? [
          seriesOf(side, 'p4', 'p4', { weight: 'second', style: 'dashed', shade: 0.4, quiet: true }, (p) =>
            shown(p.turbine.outletPressurePa),
          ),
        ]
      : []),
  ]);
  if (ambientPressurePa !== null) {
    const value = shown(ambientPressurePa);
    series.push({
      id: 'ambient',
      name: 'ambient',
      style: 'plain',
      weight: 'second',
      shade: 0.2,
      quiet: true,
      points: [xAxis.min, xAxis.max].map((x) => ({ x, value })),
    });
  }
  const { label, decimals } = unitOf('pressure-absolute', unit);
  const places = unit === 'kPa' ? 0 : unit === 'psi' ? 1 : Math.min(decimals, 2);
  return {
    xAxis,
    valueAxis: { title: 'Absolute pressure', unit: label, decimals: places, include: [] },
    bands: [],
    series,
    limits: [],
    names: 'end',
  };
}

function ratio(sides: readonly TurbineSide[], xAxis: LineChartModel['xAxis']): StandingChart {
  const limit = sides[0]?.results.input?.limits.backPressureRatio;
  const limits: LineLimit[] =
    limit === undefined ? [] : [{ label: `limit ${formatNumber(limit, 2)}`, value: limit, severity: 'stop' }];
  return {
    xAxis,
    valueAxis: { title: 'p3/p_m', unit: '', decimals: 2, include: [1] },
    bands: [],
    series: sides.map((side) =>
      seriesOf(side, 'ratio', sides.length === 1 ? '' : side.letter, { weight: 'main' }, (p) => p.backPressureRatio),
    ),
    limits,
    names: 'along',
  };
}

/** From the first to the last engine speed of each run with the gate shut, and half a step on: it opens somewhere there. */
export function shutSpans(side: TurbineSide, isOne: boolean): LineSpan[] {
  const points = drivenPoints(side.results);
  const speeds = side.results.points.map(({ engineSpeedRpm }) => engineSpeedRpm);
  const spans: LineSpan[] = [];
  let from: number | null = null;
  points.forEach((point, i) => {
    const isShut = point !== null && point.wastegateShare <= 0;
    const here = speeds[i]!;
    if (isShut && from === null) from = i === 0 ? here : (speeds[i - 1]! + here) / 2;
    const isLast = i === points.length - 1;
    if (from !== null && (!isShut || isLast)) {
      const to = isShut ? here : (speeds[i - 1]! + here) / 2;
      const label = isOne ? 'gate shut' : `${side.letter} gate shut`;
      spans.push({ id: `${side.letter}-${spans.length}`, style: side.style, from, to, label });
      from = null;
    }
  });
  return spans;
}

function gate(sides: readonly TurbineSide[], xAxis: LineChartModel['xAxis']): StandingChart {
  return {
    xAxis,
    valueAxis: {
      title: 'Gate share of the exhaust',
      unit: '%',
      decimals: 0,
      include: [0, 100],
      bounds: { low: 0, high: 100 },
    },
    bands: [],
    spans: sides.flatMap((side) => shutSpans(side, sides.length === 1)),
    series: sides.map((side) =>
      seriesOf(side, 'gate', sides.length === 1 ? '' : side.letter, { weight: 'main' }, (p) => 100 * p.wastegateShare),
    ),
    limits: [],
    names: 'along',
  };
}

/** Three charts over engine speed: the pressures, p3/p_m against its limit, and what the gate lets past. */
export function backPressureCharts(
  sides: readonly TurbineSide[],
  units: ResultUnits,
  ambientPressurePa: number | null,
): readonly BackPressureChart[] {
  const xAxis = speedAxis(sides);
  const whose = `of candidate${sides.length > 1 ? 's' : ''} ${sides.map(({ letter }) => letter).join(' and ')}`;
  return [
    {
      key: 'pressures',
      label: `Pressures before and behind the turbine and in the manifold ${whose} over engine speed`,
      model: pressures(sides, units, ambientPressurePa, xAxis),
    },
    { key: 'ratio', label: `Back-pressure ratio p3/p_m ${whose} over engine speed`, model: ratio(sides, xAxis) },
    { key: 'gate', label: `Gate share ${whose} over engine speed`, model: gate(sides, xAxis) },
  ];
}

/** p3 in the user's unit, for words. */
export function pressureText(pa: number | null, units: ResultUnits): string {
  return showResult(pa, 'absolute-pressure', units);
}
