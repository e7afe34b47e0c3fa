import { memo, useMemo, useRef } from 'react';
import { candidateTurbine, changeSettings } from '../../../../build/index.ts';
import type { ReferenceState } from '../../../../compressor/index.ts';
import { resultUnits, showResult } from '../../../../match/index.ts';
import {
  drawChart,
  drawingSize,
  exportSvg,
  type LineAxis,
  lightPalette,
  type PlotCapacity,
  type PlotCapacityCurve,
  type PlotTurbineEngine,
  type RatioAndFlow,
  TURBINE_KIND,
  TurbineChart,
  type TurbineChartModel,
  type TurbinePointed,
} from '../../../../plot/index.ts';
import { selectActiveBuild, useApply, useBuild, useLuglineStore, useSettings } from '../../../../store/index.ts';
import {
  flowParameterFactor,
  reducedSpeedFactor,
  type TurbineCapacity,
  type TurbineInput,
} from '../../../../turbine/index.ts';
import {
  formatNumber,
  isVolumeFlow,
  kgPerSToSheetFlow,
  type SheetMassFlowUnit,
  sheetFlowUnits,
  sheetMassFlowKeys,
} from '../../../../units/index.ts';
import { todayWords } from '../../../shared/fileNotes.ts';
import { fileName, SaveDrawing, ToolSelect } from '../../../shared/ToolBar.tsx';
import styles from './turbine.module.css';
import {
  type DrivenPoint,
  drivenPoints,
  STANDARD_REFERENCE,
  type TurbinePanelProps,
  type TurbineSide,
  turbineSheetWords,
} from './turbineSide.ts';

/** A file of this chart is wider than it is high. */
const FILE_SIZE = { width: 1120, height: 760 };

/** Flow capacity over expansion ratio with the engine on it. */
export const TurbinePanel = memo(function TurbinePanel({
  sides,
  engineSpeedRpm,
  onHoverSpeed,
  onChooseSpeed,
}: TurbinePanelProps) {
  const store = useLuglineStore();
  const model = useTurbineModel(sides, engineSpeedRpm);
  const drawn = useRef(model);
  drawn.current = model;
  const handlers = useMemo(
    () => ({
      onPoint: (at: TurbinePointed | null) => {
        onHoverSpeed(at === null || at.by === 'key' ? null : at.engineSpeedRpm);
        if (at !== null && at.by !== 'pointer') onChooseSpeed(at.engineSpeedRpm);
      },
    }),
    [onHoverSpeed, onChooseSpeed],
  );
  const svg = () => {
    const build = selectActiveBuild(store.getState());
    const words = turbineSheetWords(sides, build, 'Turbine', todayWords());
    const sheet = { ...words, size: FILE_SIZE, palette: lightPalette };
    const model = { ...drawn.current, focusRpm: null };
    return exportSvg(drawChart(TURBINE_KIND, model, drawingSize(sheet), 'turbine'), sheet);
  };
  const names = sides.map(({ results }) => results.candidate.name).join(' and ');
  const letters = sides.map(({ letter }) => letter).join(' and ');
  return (
    <section className={styles.panel} aria-label="Turbine plot">
      <div className={styles.bar}>
        <h2 className="clip narrow">Turbine: flow capacity</h2>
        <span className="grow" />
        <FlowUnit />
        <SaveDrawing
          what="the turbine plot"
          fileName={(kind) => fileName(names, 'turbine', kind)}
          svg={svg}
          isDisabled={false}
        />
      </div>
      <div className="pane">
        <TurbineChart
          model={model}
          handlers={handlers}
          label={`Flow capacity of the turbine of ${letters} over expansion ratio, with the engine's points`}
        />
      </div>
    </section>
  );
});

const UNITS = sheetMassFlowKeys.map((key) => ({ key, name: sheetFlowUnits[key].label }));

/** Metric or US, as the flow axis of the map is. */
function useFlowUnit(): SheetMassFlowUnit {
  const { flowAxisUnit } = useSettings();
  if (!isVolumeFlow(flowAxisUnit)) return flowAxisUnit;
  return sheetFlowUnits[flowAxisUnit].system === 'us' ? 'lb/min' : 'kg/s';
}

function FlowUnit() {
  const apply = useApply();
  return (
    <ToolSelect
      name="Unit of flow, here and on the map"
      value={useFlowUnit()}
      options={UNITS}
      onChange={(flowAxisUnit) => apply(changeSettings({ flowAxisUnit }))}
    />
  );
}

/** What the flows are corrected to: the reference of the first sheet that has one. */
function useReference(sides: readonly TurbineSide[]): ReferenceState {
  const build = useBuild();
  for (const { index } of sides) {
    const flow = candidateTurbine(build, index)?.sheet?.flow;
    if (flow?.kind === 'corrected') return flow.reference;
  }
  return STANDARD_REFERENCE;
}

function useTurbineModel(sides: readonly TurbineSide[], engineSpeedRpm: number | null): TurbineChartModel {
  const unit = useFlowUnit();
  const { temperatureK, pressurePa } = useReference(sides);
  const axis = useMemo(
    (): TurbineAxis => ({ unit, reference: { temperatureK, pressurePa } }),
    [unit, temperatureK, pressurePa],
  );
  const maxRatio = maxRatioOf(sides);
  const isAlone = sides.length === 1;
  const first = useCapacity(sides[0], axis, maxRatio, isAlone);
  const second = useCapacity(sides[1], axis, maxRatio, isAlone);
  const capacities = useMemo(() => [first, second].filter((capacity) => capacity !== null), [first, second]);
  const engines = useMemo(() => sides.map((side) => plotEngine(side, axis)), [sides, axis]);
  const flowAxis = useMemo(() => turbineFlowAxis(axis), [axis]);
  return useMemo(
    () => ({ maxRatio, flowAxis, capacities, engines, focusRpm: engineSpeedRpm }),
    [maxRatio, flowAxis, capacities, engines, engineSpeedRpm],
  );
}

/** The curves: worked out again only for another turbine, or another end of the axis. */
function useCapacity(
  side: TurbineSide | undefined,
  axis: TurbineAxis,
  maxRatio: number,
  isAlone: boolean,
): PlotCapacity | null {
  const turbine: TurbineInput | undefined = side?.results.input?.turbine;
  const { letter = '', style = 'a' } = side ?? {};
  const { capacity, capacityFactor } = turbine ?? {};
  // Of a curve without a speed of its own the engine's is rough enough in two figures.
  const speed = side === undefined ? 0 : Number(usualReducedSpeed(drivenPoints(side.results)).toPrecision(2));
  return useMemo(
    () =>
      capacity === undefined
        ? null
        : plotCapacity({ letter, style }, { capacity, capacityFactor }, axis, maxRatio, speed, isAlone),
    [letter, style, capacity, capacityFactor, axis, maxRatio, speed, isAlone],
  );
}

/** In what the flow is shown. */
interface TurbineAxis {
  unit: SheetMassFlowUnit;
  reference: ReferenceState;
}

const SAMPLES = 60;
/** The axis grows in steps, so that it stands still while an input is dragged. */
const RATIO_STEP = 0.25;

/** 'Flow corrected to 288.15 K, 101.33 kPa' in its unit. */
export function turbineFlowAxis({ unit, reference }: TurbineAxis): LineAxis {
  const { label, decimals } = sheetFlowUnits[unit];
  // A flow in lb/min stands by °F and inHg.
  const units = resultUnits({ system: sheetFlowUnits[unit].system === 'us' ? 'us' : 'metric' });
  const temperature = showResult(reference.temperatureK, 'reference-temperature', units);
  const pressure = showResult(reference.pressurePa, 'reference-pressure', units);
  return { title: `Flow corrected to ${temperature}, ${pressure}`, unit: label, decimals };
}

/** W sqrt(R T03)/p03 in m2 as a corrected flow in the unit of the axis. */
export function shownFlow(flowParameterM2: number, { unit, reference }: TurbineAxis): number {
  const kgPerS = flowParameterM2 / flowParameterFactor({ flow: { kind: 'corrected', unit: 'kg/s', reference } });
  return kgPerSToSheetFlow(kgPerS, unit, reference);
}

/** The end of the ratio axis: all entered points and the engine's, with room, in steps. */
export function maxRatioOf(sides: readonly TurbineSide[]): number {
  const ratios = sides.flatMap(({ results }) => [
    ...drivenPoints(results).map((point) => point?.expansionRatio ?? 1),
    ...(results.input?.turbine?.capacity.lines.flatMap(({ points }) => points.map((p) => p.expansionRatio)) ?? []),
  ]);
  const most = Math.max(2, ...ratios.filter(Number.isFinite));
  return 1 + Math.ceil(((most - 1) * 1.04) / RATIO_STEP) * RATIO_STEP;
}

/** The speed at which a curve without one of its own is drawn: the middle of the engine's. */
function usualReducedSpeed(points: readonly (DrivenPoint | null)[]): number {
  const speeds = points.flatMap((point) => point?.turbine.reducedSpeed ?? []).sort((a, b) => a - b);
  return speeds[Math.floor(speeds.length / 2)] ?? 0;
}

/**
 * The flow capacity of a turbine, for the chart: the curve of each line of its sheet, or of its estimate with the band.
 * @param usualSpeed reduced speed of a curve without one of its own
 * @param isAlone there is room to say which corrected speeds the curves are of
 */
export function plotCapacity(
  side: Pick<TurbineSide, 'letter' | 'style'>,
  turbine: Pick<TurbineInput, 'capacity' | 'capacityFactor'>,
  axis: TurbineAxis,
  maxRatio: number,
  usualSpeed: number,
  isAlone: boolean,
): PlotCapacity {
  const { capacity, capacityFactor = 1 } = turbine;
  const flowOf = (flowParameterM2: number) => shownFlow(flowParameterM2 * capacityFactor, axis);
  const speedUnit = reducedSpeedFactor({ flow: { kind: 'corrected', unit: 'kg/s', reference: axis.reference } });
  const curves = capacity.lines.map((line): PlotCapacityCurve => {
    const speed = line.reducedSpeed ?? usualSpeed;
    const ratios = sampledRatios(
      maxRatio,
      line.points.map((point) => point.expansionRatio),
    );
    const at = (expansionRatio: number): RatioAndFlow => ({
      expansionRatio,
      flow: flowOf(capacity.flowParameter(expansionRatio, speed)),
    });
    const choked = chokedFrom(capacity, ratios, speed);
    return {
      points: ratios.map((ratio) => ({ ...at(ratio), extended: capacity.isExtended(ratio, speed) })),
      chokesAt: choked === null ? null : at(choked),
    };
  });
  const band = capacity.band > 0 ? (curves[0]?.points ?? []) : [];
  return {
    id: `capacity-${side.letter}`,
    name: `${side.letter} capacity${isAlone ? speedWords(capacity, speedUnit) : ''}`,
    style: side.style,
    curves,
    entered: capacity.lines.flatMap(({ points }) =>
      points.map(({ expansionRatio, flowParameterM2 }) => ({ expansionRatio, flow: flowOf(flowParameterM2) })),
    ),
    band:
      band.length === 0
        ? null
        : {
            label: `estimate ±${formatNumber(capacity.band * 100, 0)} %`,
            points: band.map(({ expansionRatio, flow }) => ({
              expansionRatio,
              low: flow * (1 - capacity.band),
              high: flow * (1 + capacity.band),
            })),
          },
  };
}

/** ', 44,000 to 76,000 rpm': the corrected speeds of several curves, which run too close to be named one by one. */
function speedWords({ lines }: TurbineCapacity, speedUnit: number): string {
  const speeds = lines.flatMap(({ reducedSpeed }) => (reducedSpeed === null ? [] : [reducedSpeed / speedUnit]));
  if (speeds.length < 2) return '';
  const text = (speed: number) => formatNumber(Math.round(speed / 100) * 100, 0);
  return `, ${text(Math.min(...speeds))} to ${text(Math.max(...speeds))} rpm`;
}

/** Even steps, closer where curves bend, and every entered point: a curve changes from entered to extended there. */
function sampledRatios(maxRatio: number, entered: readonly number[]): readonly number[] {
  const even = Array.from({ length: SAMPLES + 1 }, (_, i) => 1 + (maxRatio - 1) * (i / SAMPLES) ** 1.5);
  const all = [...even, ...entered.filter((ratio) => ratio > 1 && ratio < maxRatio)].sort((a, b) => a - b);
  return all.filter((ratio, i) => i === 0 || ratio > all[i - 1]!);
}

/** The lowest expansion ratio at which the turbine chokes, to a thousandth; null: not in sight. */
function chokedFrom(capacity: TurbineCapacity, ratios: readonly number[], speed: number): number | null {
  const index = ratios.findIndex((ratio) => capacity.isChoked(ratio, speed));
  if (index < 0) return null;
  let low = ratios[Math.max(0, index - 1)]!;
  let high = ratios[index]!;
  while (high - low > 1e-3) {
    const middle = (low + high) / 2;
    if (capacity.isChoked(middle, speed)) high = middle;
    else low = middle;
  }
  return high;
}

/** A gate that takes all but this little of the exhaust leaves nothing to draw a gap to. */
const LEAST_SHARE = 0.02;

/** The engine on its turbine: what passes it, and the whole exhaust above. Marks and rings are those of the line on the map. */
export function plotEngine(side: TurbineSide, axis: TurbineAxis): PlotTurbineEngine {
  const { results, line, letter, style } = side;
  return {
    id: `engine-${letter}`,
    letter,
    style,
    points: drivenPoints(results).map((point, i) => {
      if (point === null) return null;
      const flow = shownFlow(point.turbine.flowParameterM2, axis);
      const onMap = line?.points[i] ?? null;
      return {
        engineSpeedRpm: point.engineSpeedRpm,
        expansionRatio: point.expansionRatio,
        flow,
        wholeExhaust: flow / Math.max(LEAST_SHARE, 1 - point.wastegateShare),
        marked: onMap?.marked === true,
        severity: onMap?.severity,
      };
    }),
  };
}
