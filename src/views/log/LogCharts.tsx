import { memo, useEffect, useMemo, useState } from 'react';
import type { LogRows } from '../../build/index.ts';
import type { OperatingPoint, RoadLogResult, RoadLogRow } from '../../match/types.ts';
import { evaluateCurve } from '../../numerics/index.ts';
import { candidateStyle, LineChart, MapPlot, type MapPlotModel, type MapReadout } from '../../plot/index.ts';
import { type CandidateResults, useSettings } from '../../store/index.ts';
import { formatNumber } from '../../units/index.ts';
import { usePalette, useResultUnits } from '../shared/display.ts';
import { CLASS_WORDS } from '../shared/logWords.ts';
import { operatingLine, withoutMarks } from '../shared/mapDrawing.ts';
import { candidateLetter } from '../shared/provenance.ts';
import { ToolSelect } from '../shared/ToolBar.tsx';
import styles from './log.module.css';
import {
  efficiencyOverSpeed,
  logMapChart,
  measuredOnMap,
  OVER_TIME,
  overTime,
  rowWords,
  shaftOverSpeed,
} from './model/logCharts.ts';

interface Props {
  results: CandidateResults;
  index: number;
  result: RoadLogResult;
  rows: LogRows;
  /** The line with what the log gives; null: nothing to take. */
  after: readonly OperatingPoint[] | null;
}

/** Counts up to `last`, one a task: drawings are begun one after the other, so that none holds up the page. */
function useSteps(last: number): number {
  const [step, setStep] = useState(0);
  useEffect(() => {
    if (step >= last) return;
    const timer = setTimeout(() => setStep(step + 1), 0);
    return () => clearTimeout(timer);
  }, [step, last]);
  return step;
}

/** Map, time and engine speed, all pointing at one row. */
export const LogCharts = memo(function LogCharts({ results, index, result, rows, after }: Props) {
  const units = useResultUnits();
  const [pull, setPull] = useState('all');
  const [focus, setFocus] = useState<number | null>(null);
  const shown = useMemo(
    () => result.rows.filter((row) => (pull === 'all' ? true : row.pull === Number(pull))),
    [result.rows, pull],
  );
  const step = useSteps(OVER_TIME.length + 4);
  const row = focus === null ? null : (shown.find((one) => one.row === focus) ?? null);
  const pulls = [
    { key: 'all', name: 'The whole log' },
    ...result.pulls.map(({ fromRpm, toRpm }, at) => ({
      key: String(at),
      name: `Pull ${at + 1}: ${formatNumber(fromRpm, 0)} to ${formatNumber(toRpm, 0)} rpm`,
    })),
  ];
  return (
    <>
      <div className={styles.window}>
        <ToolSelect name="What is shown of the log" value={pull} options={pulls} onChange={setPull} />
      </div>
      <dl className={styles.readOut} aria-label="The row that is pointed at">
        {row === null ? (
          <div className={styles.hint}>
            <dt>Point at a row in the map, the charts or the table</dt>
            <dd>Arrow keys walk along the charts</dd>
          </div>
        ) : (
          rowWords(row, units).map(({ title, value }) => (
            <div key={title}>
              <dt>{title}</dt>
              <dd>{value}</dd>
            </div>
          ))
        )}
      </dl>
      <div className={styles.pair}>
        {step > 0 && <LogMap results={results} index={index} rows={shown} after={after} row={row} onRow={setFocus} />}
        <TimeCharts
          key={pull}
          result={result}
          rows={rows}
          shown={shown}
          isWhole={pull === 'all'}
          count={step - 1}
          row={row}
          onRow={setFocus}
        />
      </div>
      <div className={styles.pair}>
        {(['shaft', 'efficiency'] as const).map(
          (kind, at) =>
            step > OVER_TIME.length + 1 + at && (
              <SpeedChart key={kind} kind={kind} {...{ results, result, shown, row }} onRow={setFocus} />
            ),
        )}
      </div>
      {step > OVER_TIME.length + 3 && <RowTable rows={shown} focus={focus} onRow={setFocus} />}
    </>
  );
});

function LogMap(props: {
  results: CandidateResults;
  index: number;
  rows: readonly RoadLogRow[];
  after: readonly OperatingPoint[] | null;
  row: RoadLogRow | null;
  onRow: (row: number) => void;
}) {
  const { results, index, rows, after, row, onRow } = props;
  const palette = usePalette();
  const { flowAxisUnit } = useSettings();
  const chart = useMemo(() => logMapChart(results, flowAxisUnit), [results, flowAxisUnit]);
  const letter = candidateLetter(index);
  const operatingLines = useMemo(() => {
    const style = candidateStyle(index);
    const name = `${letter}, as predicted`;
    const line = operatingLine('line', name, style, results.points, results.findings, results.input);
    if (after === null) return [line];
    return [{ ...withoutMarks(operatingLine('after', 'with the log', style, after, [])), faint: true }, line];
  }, [results, index, letter, after]);
  const measured = useMemo(() => measuredOnMap(rows), [rows]);
  const focus = useMemo(
    () =>
      row?.correctedMassFlowKgPerS == null || row.pressureRatio === null
        ? null
        : { correctedMassFlowKgPerS: row.correctedMassFlowKgPerS, pressureRatio: row.pressureRatio },
    [row],
  );
  const handlers = useMemo(
    () => ({
      onHover: (readout: MapReadout | null) => {
        const near = readout === null ? null : nearestRow(rows, readout.at);
        if (near !== null) onRow(near.row);
      },
    }),
    [rows, onRow],
  );
  if (chart === null) return <div className={styles.block}>The candidate has no map to lay the log over.</div>;
  const model: MapPlotModel = { chart, operatingLines, places: [], measured, focus };
  return (
    <section className={styles.block} aria-labelledby="log-map">
      <h2 id="log-map">On the map of {letter}</h2>
      <div className={styles.map}>
        <MapPlot
          model={model}
          palette={palette}
          handlers={handlers}
          label={`Compressor map of candidate ${letter} with ${rows.length} rows of the road log over the predicted line`}
        />
      </div>
      <p className={styles.cautions}>
        Dots: rows of the log, full where the map meters flow to 2 %, hollow to 5 %, crosses: kept out; lines: one
        standard deviation. Dotted: only the pressure ratio is known. A map meters well only in its right-hand part,
        where shaft speed changes with flow. The flow meter was proved on one measured compressor, not on a car.
      </p>
    </section>
  );
}

/** The row nearest to a place, both axes taken as shares; null where none is near. */
function nearestRow(
  rows: readonly RoadLogRow[],
  at: { correctedMassFlowKgPerS: number; pressureRatio: number },
): RoadLogRow | null {
  let best: { row: RoadLogRow; away: number } | null = null;
  for (const row of rows) {
    if (row.correctedMassFlowKgPerS === null || row.pressureRatio === null) continue;
    const away = Math.hypot(
      row.correctedMassFlowKgPerS / at.correctedMassFlowKgPerS - 1,
      row.pressureRatio / at.pressureRatio - 1,
    );
    if (away < (best?.away ?? 0.05)) best = { row, away };
  }
  return best?.row ?? null;
}

function nearestBy(rows: readonly RoadLogRow[], of: (row: RoadLogRow) => number | null, at: number): RoadLogRow | null {
  let best: RoadLogRow | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const row of rows) {
    const away = Math.abs((of(row) ?? Number.NaN) - at);
    if (away < least) [best, least] = [row, away];
  }
  return best;
}

interface TimeProps {
  result: RoadLogResult;
  rows: LogRows;
  shown: readonly RoadLogRow[];
  isWhole: boolean;
  /** So many of the charts are drawn by now. */
  count: number;
  row: RoadLogRow | null;
  onRow: (row: number) => void;
}

/** Engine speed, manifold pressure and shaft speed over one stretch of time. */
function TimeCharts({ result, rows, shown, isWhole, count, row, onRow }: TimeProps) {
  const palette = usePalette();
  const units = useResultUnits();
  const whole = useMemo(() => timeRange(rows, isWhole ? [] : shown), [rows, shown, isWhole]);
  const [stretch, setStretch] = useState<readonly [number, number]>(whole);
  const models = useMemo(
    () =>
      OVER_TIME.filter(({ key }) => rows.channels.some((channel) => channel.key === key)).map((quantity) => ({
        quantity,
        model: overTime(quantity, rows, result, stretch, units),
      })),
    [rows, result, stretch, units],
  );
  const step = (whole[1] - whole[0]) / 200 || 1;
  const unit = rows.timeS === null ? 'row' : 's';
  return (
    <section className={styles.block} aria-labelledby="log-time">
      <h2 id="log-time">Over time</h2>
      {models.map(({ quantity, model }, at) => (
        <div key={quantity.key} className={styles.chart}>
          {at < count && (
            <LineChart
              model={{ ...model, focusX: row?.timeS ?? null }}
              palette={palette}
              label={`${quantity.title} over time`}
              keys="Left and right arrow read row by row."
              handlers={{
                onPoint: (pointed) => {
                  const near = pointed === null ? null : nearestBy(shown, ({ timeS }) => timeS, pointed.x);
                  if (near !== null) onRow(near.row);
                },
              }}
            />
          )}
        </div>
      ))}
      <div className={styles.window}>
        {(['from', 'to'] as const).map((end, at) => (
          <label key={end}>
            {end === 'from' ? 'From' : 'to'} {formatNumber(stretch[at]!, 1)} {unit}{' '}
            <input
              type="range"
              min={whole[0]}
              max={whole[1]}
              step={step}
              value={stretch[at]}
              aria-label={end === 'from' ? 'Stretch shown from' : 'Stretch shown to'}
              onChange={({ target }) => {
                const value = Number(target.value);
                setStretch(([low, high]) =>
                  at === 0 ? [Math.min(value, high - step), high] : [low, Math.max(value, low + step)],
                );
              }}
            />
          </label>
        ))}
      </div>
    </section>
  );
}

function timeRange({ timeS, channels }: LogRows, shown: readonly RoadLogRow[]): readonly [number, number] {
  const times = shown.flatMap((row) => (row.timeS === null ? [] : [row.timeS]));
  if (times.length > 1) return [Math.max(times[0]! - 1, 0), times.at(-1)! + 1];
  return [timeS?.[0] ?? 0, timeS?.at(-1) ?? channels[0]?.values.length ?? 1];
}

interface SpeedProps {
  kind: 'shaft' | 'efficiency';
  results: CandidateResults;
  result: RoadLogResult;
  shown: readonly RoadLogRow[];
  row: RoadLogRow | null;
  onRow: (row: number) => void;
}

function SpeedChart({ kind, results, result, shown, row, onRow }: SpeedProps) {
  const palette = usePalette();
  const units = useResultUnits();
  const title =
    kind === 'shaft' ? 'Shaft speed, predicted and measured' : 'Volumetric efficiency, entered and measured';
  const entered = results.input?.engine.volumetricEfficiency ?? null;
  const model = useMemo(() => {
    if (kind === 'shaft') return shaftOverSpeed(shown, units);
    const at = (rpm: number) => (entered === null ? null : evaluateCurve(entered, rpm));
    return efficiencyOverSpeed(shown, at, result.fit?.volumetricEfficiency ?? []);
  }, [kind, shown, units, entered, result.fit]);
  return (
    <section className={styles.block} aria-label={title}>
      <h2>{title}</h2>
      {model === null ? (
        <p className={styles.cautions}>
          {kind === 'shaft' ? 'No row has a shaft speed to compare.' : 'No row meters flow well enough to tell.'}
        </p>
      ) : (
        <div className={styles.tall}>
          <LineChart
            model={{ ...model, focusX: row === null ? null : Math.round(row.engineSpeedRpm / 100) * 100 }}
            palette={palette}
            label={`${title}, over engine speed`}
            keys="Left and right arrow read engine speed by engine speed."
            handlers={{
              onPoint: (at) => {
                const near = at === null ? null : nearestBy(shown, ({ engineSpeedRpm }) => engineSpeedRpm, at.x);
                if (near !== null) onRow(near.row);
              },
            }}
          />
        </div>
      )}
      {kind === 'efficiency' && (
        <p className={styles.cautions}>
          Single rows are what the map reads, each by itself; the joint fit is drawn towards the entered curve where the
          log says little.
        </p>
      )}
    </section>
  );
}

/** As many rows stand in the table; the others are on the charts. */
const MOST_ROWS = 60;

function RowTable(props: { rows: readonly RoadLogRow[]; focus: number | null; onRow: (row: number) => void }) {
  const { rows, focus, onRow } = props;
  const units = useResultUnits();
  const every = Math.max(1, Math.ceil(rows.length / MOST_ROWS));
  const listed = rows.filter((row, at) => at % every === 0 || row.row === focus);
  const [first] = listed;
  if (first === undefined) return null;
  return (
    <section className={styles.block} aria-labelledby="log-rows">
      <h2 id="log-rows">Rows of the pulls{every > 1 ? `, one in ${every}` : ''}</h2>
      <div className={styles.scroll}>
        <table className={`${styles.table} ${styles.rows}`}>
          <thead>
            <tr>
              {rowWords(first, units).map(({ title }) => (
                <th key={title} scope="col">
                  {title}
                </th>
              ))}
              <th scope="col">Row is</th>
            </tr>
          </thead>
          <tbody>
            {listed.map((row) => (
              <tr key={row.row} aria-current={row.row === focus || undefined} onPointerDown={() => onRow(row.row)}>
                {rowWords(row, units).map(({ title, value }) => (
                  <td key={title}>{value}</td>
                ))}
                <td>
                  {CLASS_WORDS[row.class]}
                  {row.flows.length > 1 ? ', ambiguous' : ''}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}
