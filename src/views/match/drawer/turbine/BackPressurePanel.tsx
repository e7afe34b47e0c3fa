import { memo, useMemo } from 'react';
import {
  decimalsShown,
  LIMITS,
  RESULTS,
  type ResultKey,
  type ResultUnits,
  readResult,
  type Shown,
  shortTitle,
  showLimit,
  unitLabel,
  valueShown,
} from '../../../../match/index.ts';
import {
  drawChart,
  drawingSize,
  exportSvg,
  LINE_KIND,
  LineChart,
  type LineChartModel,
  type LineLimit,
  type LinePointed,
  type LineSeries,
  type LineSpan,
  lightPalette,
  type PlotSize,
  type StandingLines,
} from '../../../../plot/index.ts';
import { selectActiveBuild, selectDayAir, useLugline, useLuglineStore } from '../../../../store/index.ts';
import { useResultUnits } from '../../../shared/display.ts';
import { todayWords } from '../../../shared/fileNotes.ts';
import { CopyButton, fileName, SaveDrawing } from '../../../shared/ToolBar.tsx';
import styles from './turbine.module.css';
import {
  type DrivenPoint,
  drivenPoints,
  type TurbinePanelProps,
  type TurbineSide,
  turbineSheetWords,
  turbineTableText,
} from './turbineSide.ts';

/** What the letters on the charts mean. */
const STATIONS = 'p3 before the turbine, p4 behind it; p_m in the manifold';

const FILE_SIZE = { width: 1120, height: 960 };

/** p3, p3/p_m against its limit, and the gate, over engine speed. */
export const BackPressurePanel = memo(function BackPressurePanel(props: TurbinePanelProps) {
  const { sides, engineSpeedRpm, onHoverSpeed, onChooseSpeed } = props;
  const store = useLuglineStore();
  const units = useResultUnits();
  const ambientPressurePa = useLugline((state) => selectDayAir(state).air?.ambient.pressurePa ?? null);
  const charts = useMemo(() => backPressureCharts(sides, units, ambientPressurePa), [sides, units, ambientPressurePa]);
  const models = useMemo(
    () => charts.map(({ model }) => ({ ...model, focusX: engineSpeedRpm, focusSeriesId: null })),
    [charts, engineSpeedRpm],
  );
  const handlers = useMemo(
    () => ({
      onPoint: (at: LinePointed | null) => {
        onHoverSpeed(at === null || at.by === 'key' ? null : at.x);
        if (at !== null && at.by !== 'pointer') onChooseSpeed(at.x);
      },
    }),
    [onHoverSpeed, onChooseSpeed],
  );
  const svg = () => {
    const build = selectActiveBuild(store.getState());
    const words = turbineSheetWords(sides, build, 'Back-pressure', todayWords());
    const provenance = `${STATIONS}. ${words.provenance}`;
    const sheet = { ...words, provenance, size: FILE_SIZE, palette: lightPalette };
    return exportSvg(stacked(charts, drawingSize(sheet)), sheet);
  };
  const names = sides.map(({ results }) => results.candidate.name).join(' and ');
  return (
    <section className={styles.panel} aria-label="Back-pressure">
      <div className={styles.bar}>
        <h2 className="clip narrow">Back-pressure and gate</h2>
        <span className={styles.stations}>{STATIONS}</span>
        <CopyButton label="Copy the turbine's numbers for a spreadsheet" text={() => turbineTableText(sides, units)} />
        <SaveDrawing
          what="the back-pressure charts"
          fileName={(kind) => fileName(names, 'back-pressure', kind)}
          svg={svg}
          isDisabled={false}
        />
      </div>
      <div className={styles.trio}>
        {charts.map(({ key, label }, i) => (
          <div key={key} className="pane">
            <LineChart model={models[i]!} handlers={handlers} label={label} />
          </div>
        ))}
      </div>
    </section>
  );
});

/** The charts one under the other in one drawing. */
function stacked(charts: readonly BackPressureChart[], { width, height }: PlotSize): SVGSVGElement {
  const all = document.createElementNS('http://www.w3.org/2000/svg', 'svg') as SVGSVGElement;
  all.setAttribute('width', String(width));
  all.setAttribute('height', String(height));
  all.setAttribute('viewBox', `0 0 ${width} ${height}`);
  const each = Math.floor(height / charts.length);
  charts.forEach(({ key, model }, i) => {
    const still = { ...model, focusX: null, focusSeriesId: null };
    const one = drawChart(LINE_KIND, still, { width, height: each }, key);
    one.setAttribute('y', String(i * each));
    all.appendChild(one);
  });
  return all;
}

interface BackPressureChart {
  key: 'pressures' | 'ratio' | 'gate';
  /** What it shows, read out. */
  label: string;
  model: StandingLines;
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

/** A result along the line in the unit in which it is shown. */
function reader(key: ResultKey, units: ResultUnits): Read {
  return (point) => valueShown(readResult(key, point) ?? Number.NaN, RESULTS[key].shown, units);
}

/** The axis of values of a kind. */
function axisOf(title: string, shown: Shown, units: ResultUnits) {
  return { title, unit: unitLabel(shown, units), decimals: decimalsShown(shown, units) };
}

/** Before and behind the turbine and in the manifold, absolute. With two candidates p4, which they nearly share, is left out. */
function pressures(
  sides: readonly TurbineSide[],
  units: ResultUnits,
  ambientPressurePa: number | null,
  xAxis: LineChartModel['xAxis'],
): StandingLines {
  const isOne = sides.length === 1;
  const named = (letter: string, name: string) => (isOne ? name : `${letter} ${name}`);
  const p4 = { weight: 'second', style: 'dashed', shade: 0.4, quiet: true } as const;
  const series = sides.flatMap((side) => [
    seriesOf(side, 'p3', named(side.letter, 'p3'), { weight: 'main' }, reader('turbineInletPressurePa', units)),
    seriesOf(side, 'pm', named(side.letter, 'p_m'), { weight: 'second' }, reader('manifoldPressurePa', units)),
    ...(isOne ? [seriesOf(side, 'p4', 'p4', p4, reader('turbine.outletPressurePa', units))] : []),
  ]);
  if (ambientPressurePa !== null) {
    const value = valueShown(ambientPressurePa, 'absolute-pressure', units);
    const points = [xAxis.min, xAxis.max].map((x) => ({ x, value }));
    series.push({ id: 'ambient', name: 'ambient', style: 'plain', weight: 'second', shade: 0.2, quiet: true, points });
  }
  return {
    xAxis,
    valueAxis: { ...axisOf('Absolute pressure', 'absolute-pressure', units) },
    series,
    names: 'end',
  };
}

function ratio(sides: readonly TurbineSide[], units: ResultUnits, xAxis: LineChartModel['xAxis']): StandingLines {
  const { input } = sides[0]?.results ?? {};
  const limit = input && LIMITS['back-pressure'].asked(input.limits, input);
  const limits: LineLimit[] =
    limit === undefined || limit === null
      ? []
      : [{ label: `limit ${showLimit(limit, 'pressure-ratio', units)}`, value: limit, severity: 'stop' }];
  return {
    xAxis,
    valueAxis: { ...axisOf(shortTitle('backPressureRatio', units), 'pressure-ratio', units), include: [1] },
    series: alongLine(sides, 'ratio', reader('backPressureRatio', units)),
    limits,
  };
}

/** One line a candidate, named by its letter where there are two. */
function alongLine(sides: readonly TurbineSide[], key: string, read: Read): LineSeries[] {
  return sides.map((side) => seriesOf(side, key, sides.length === 1 ? '' : side.letter, { weight: 'main' }, read));
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

function gate(sides: readonly TurbineSide[], units: ResultUnits, xAxis: LineChartModel['xAxis']): StandingLines {
  return {
    xAxis,
    valueAxis: {
      ...axisOf(RESULTS.wastegateShare.title, 'whole-share', units),
      include: [0, 100],
      bounds: { low: 0, high: 100 },
    },
    spans: sides.flatMap((side) => shutSpans(side, sides.length === 1)),
    series: alongLine(sides, 'gate', reader('wastegateShare', units)),
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
    {
      key: 'ratio',
      label: `${RESULTS.backPressureRatio.title} ${whose} over engine speed`,
      model: ratio(sides, units, xAxis),
    },
    {
      key: 'gate',
      label: `${RESULTS.wastegateShare.title} ${whose} over engine speed`,
      model: gate(sides, units, xAxis),
    },
  ];
}
