import { memo, useMemo } from 'react';
import {
  createLineChart,
  drawingSize,
  exportSvg,
  LineChart,
  type LinePointed,
  lightPalette,
  type PlotSize,
} from '../../../plot/index.ts';
import { selectActiveBuild, selectDayAir, useLugline, useLuglineStore } from '../../../store/index.ts';
import { CopyButton } from '../../shared/CopyButton.tsx';
import { fileName } from '../../shared/fileName.ts';
import { usePalette } from '../../shared/usePalette.ts';
import { useResultUnits } from '../../shared/useResultUnits.ts';
import { todayWords } from '../model/mapSheetWords.ts';
import { SaveDrawing } from '../results/SaveDrawing.tsx';
import { type BackPressureChart, backPressureCharts } from './model/backPressureCharts.ts';
import { turbineSheetWords } from './model/turbineSheetWords.ts';
import type { TurbineSide } from './model/turbineSide.ts';
import { turbineTableText } from './model/turbineTableText.ts';
import styles from './turbine.module.css';

interface Props {
  sides: readonly TurbineSide[];
  engineSpeedRpm: number | null;
  onHoverSpeed: (engineSpeedRpm: number | null) => void;
  onChooseSpeed: (engineSpeedRpm: number) => void;
}

/** What the letters on the charts mean. */
const STATIONS = 'p3 before the turbine, p4 behind it; p_m in the manifold';

const FILE_SIZE = { width: 1120, height: 960 };

/** p3, p3/p_m against its limit, and the gate, over engine speed. */
export const BackPressurePanel = memo(function BackPressurePanel(props: Props) {
  const { sides, engineSpeedRpm, onHoverSpeed, onChooseSpeed } = props;
  const palette = usePalette();
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
        <h2>Back-pressure and gate</h2>
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
          <div key={key} className={styles.chart}>
            <LineChart
              model={models[i]!}
              palette={palette}
              handlers={handlers}
              label={label}
              keys="Left and right arrow read engine speed by engine speed."
            />
          </div>
        ))}
      </div>
    </section>
  );
});

/** The charts one under the other in one drawing. */
function stacked(charts: readonly BackPressureChart[], { width, height }: PlotSize): SVGSVGElement {
  const make = () => document.createElementNS('http://www.w3.org/2000/svg', 'svg') as SVGSVGElement;
  const all = make();
  all.setAttribute('width', String(width));
  all.setAttribute('height', String(height));
  all.setAttribute('viewBox', `0 0 ${width} ${height}`);
  const each = Math.floor(height / charts.length);
  charts.forEach(({ key, model }, i) => {
    const one = make();
    const size = { width, height: each };
    createLineChart(one, lightPalette, {}, size, key).update({ ...model, focusX: null, focusSeriesId: null });
    one.setAttribute('y', String(i * each));
    all.appendChild(one);
  });
  return all;
}
