import { memo, useMemo, useRef } from 'react';
import { candidateTurbine, changeSettings } from '../../../build/index.ts';
import type { ReferenceState } from '../../../compressor/index.ts';
import {
  createTurbineChart,
  drawingSize,
  exportSvg,
  lightPalette,
  type PlotCapacity,
  TurbineChart,
  type TurbineChartModel,
  type TurbinePointed,
} from '../../../plot/index.ts';
import { selectActiveBuild, useApply, useBuild, useLuglineStore, useSettings } from '../../../store/index.ts';
import type { TurbineInput } from '../../../turbine/index.ts';
import { sheetFlowUnits } from '../../../units/index.ts';
import { fileName } from '../../shared/fileName.ts';
import { ToolSelect } from '../../shared/ToolSelect.tsx';
import { usePalette } from '../../shared/usePalette.ts';
import { todayWords } from '../model/mapSheetWords.ts';
import { SaveDrawing } from '../results/SaveDrawing.tsx';
import {
  maxRatioOf,
  plotCapacity,
  plotEngine,
  type TurbineAxis,
  type TurbineFlowUnit,
  turbineFlowAxis,
  usualReducedSpeed,
} from './model/turbineChart.ts';
import { turbineSheetWords } from './model/turbineSheetWords.ts';
import { drivenPoints, STANDARD_REFERENCE, type TurbineSide } from './model/turbineSide.ts';
import styles from './turbine.module.css';

interface Props {
  sides: readonly TurbineSide[];
  engineSpeedRpm: number | null;
  onHoverSpeed: (engineSpeedRpm: number | null) => void;
  onChooseSpeed: (engineSpeedRpm: number) => void;
}

/** A file of this chart is wider than it is high. */
const FILE_SIZE = { width: 1120, height: 760 };

/** Swallowing capacity over expansion ratio with the engine on it. */
export const TurbinePanel = memo(function TurbinePanel({ sides, engineSpeedRpm, onHoverSpeed, onChooseSpeed }: Props) {
  const palette = usePalette();
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
    const drawing = document.createElementNS('http://www.w3.org/2000/svg', 'svg') as SVGSVGElement;
    createTurbineChart(drawing, lightPalette, {}, drawingSize(sheet), 'turbine').update({
      ...drawn.current,
      focusRpm: null,
    });
    return exportSvg(drawing, sheet);
  };
  const names = sides.map(({ results }) => results.candidate.name).join(' and ');
  const letters = sides.map(({ letter }) => letter).join(' and ');
  return (
    <section className={styles.panel} aria-label="Turbine plot">
      <div className={styles.bar}>
        <h2>Turbine: what it swallows</h2>
        <span className={styles.spring} />
        <FlowUnit />
        <SaveDrawing
          what="the turbine plot"
          fileName={(kind) => fileName(names, 'turbine', kind)}
          svg={svg}
          isDisabled={false}
        />
      </div>
      <div className={styles.chart}>
        <TurbineChart
          model={model}
          palette={palette}
          handlers={handlers}
          label={`Swallowing capacity of the turbine of ${letters} over expansion ratio, with the engine's points`}
        />
      </div>
    </section>
  );
});

const UNITS = (['kg/s', 'lb/min'] as const).map((key) => ({ key, name: sheetFlowUnits[key].label }));

/** Metric or US, as the flow axis of the map is. */
function useFlowUnit(): TurbineFlowUnit {
  const { flowAxisUnit } = useSettings();
  return flowAxisUnit === 'lb/min' || flowAxisUnit === 'cfm' ? 'lb/min' : 'kg/s';
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
