import { type ComponentProps, memo, useEffect, useMemo, useRef, useState } from 'react';
import type { LogRows } from '../../build/index.ts';
import type { OperatingPoint, RoadLogResult, RoadLogRow } from '../../match/types.ts';
import { evaluateCurve, nearestIndex } from '../../numerics/index.ts';
import {
  type CandidateStyle,
  candidateStyle,
  LineChart,
  MapPlot,
  type MapPlotModel,
  type MapReadout,
} from '../../plot/index.ts';
import { type CandidateResults, useSettings } from '../../store/index.ts';
import { counted, formatNumber } from '../../units/index.ts';
import { Button } from '../../widgets/index.ts';
import { candidateLetter, useResultUnits } from '../shared/display.ts';
import { operatingLine, withoutMarks } from '../shared/mapDrawing.ts';
import { ToolSelect } from '../shared/ToolBar.tsx';
import { LogPart, useSteps } from './LogColumns.tsx';
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
import { RowTable } from './RowTable.tsx';

interface Props {
  results: CandidateResults;
  index: number;
  result: RoadLogResult;
  rows: LogRows;
  /** The line with what the log gives; null: nothing to take. */
  after: readonly OperatingPoint[] | null;
  /** A row that was asked for elsewhere; a new object each time. */
  asked: { row: number; timeS: number | null } | null;
  /** Called with true once all of it is drawn. */
  onDrawn: (isDrawn: boolean) => void;
}

export type Stretch = readonly [number, number];
const NO_ROWS: readonly RoadLogRow[] = [];

/** Map, time and engine speed, all pointing at one row; a stretch of time that is selected leaves the other rows out of all but the time charts. */
export const LogCharts = memo(function LogCharts({ results, index, result, rows, after, asked, onDrawn }: Props) {
  const units = useResultUnits();
  const [pull, setPull] = useState('all');
  const [focus, setFocus] = useState<number | null>(null);
  const [selected, setSelected] = useState<Stretch | null>(null);
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (asked === null) return;
    const near = nearestBy(result.rows, ({ row }) => row, asked.row);
    const isIn = near !== null && Math.abs(near.row - asked.row) <= 20;
    setPull('all');
    setFocus(isIn ? near.row : null);
    setSelected(isIn || asked.timeS === null ? null : [asked.timeS - 0.5, asked.timeS + 0.5]);
    place.current?.scrollIntoView?.({ block: 'start' });
  }, [asked, result.rows]);
  const inPull = useMemo(
    () => result.rows.filter((row) => pull === 'all' || row.pull === Number(pull)),
    [result.rows, pull],
  );
  const shown = useMemo(
    () =>
      selected === null
        ? inPull
        : inPull.filter(({ timeS }) => timeS !== null && timeS >= selected[0] && timeS <= selected[1]),
    [inPull, selected],
  );
  // The map alone, its rows, the charts over time, and what is folded.
  const last = OVER_TIME.length + 4;
  const step = useSteps(last);
  useEffect(() => {
    if (step === last) onDrawn(true);
  }, [step, last, onDrawn]);
  const row = focus === null ? null : (inPull.find((one) => one.row === focus) ?? null);
  // An hour of driving has hundreds of pulls: not drawn again for each step and each row that is pointed at.
  const choice = useMemo(() => {
    const pulls = [
      { key: 'all', name: 'The whole log' },
      ...result.pulls.map(({ fromRpm, toRpm }, at) => ({
        key: String(at),
        name: `Pull ${at + 1}: ${formatNumber(fromRpm, 0)} to ${formatNumber(toRpm, 0)} rpm`,
      })),
    ];
    const choosePull = (key: string) => {
      setPull(key);
      setSelected(null);
    };
    return <ToolSelect name="What is shown of the log" value={pull} options={pulls} onChange={choosePull} />;
  }, [result.pulls, pull]);
  return (
    <>
      <div ref={place} className={styles.bar}>
        {choice}
        <span role="status">
          {selected !== null &&
            `Selected: ${formatNumber(selected[0], 1)} to ${formatNumber(selected[1], 1)} s, ${counted(shown.length, 'row')} of the pulls.`}
        </span>
        {selected !== null && <Button onPress={() => setSelected(null)}>Let go of the selection</Button>}
      </div>
      <dl className={styles.readOut} aria-label="The row that is pointed at">
        {row === null ? (
          <div className={styles.hint}>
            <dt>Point at a row in the map, the charts or the table</dt>
            <dd>Drag over time to select a stretch; arrow keys walk along the charts, with Shift they select</dd>
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
        {step > 0 && (
          <LogMap
            results={results}
            index={index}
            rows={step > 1 ? shown : NO_ROWS}
            after={step > 1 ? after : null}
            row={row}
            onRow={setFocus}
          />
        )}
        <TimeCharts
          key={pull}
          result={result}
          rows={rows}
          inPull={inPull}
          isWhole={pull === 'all'}
          count={step - 2}
          row={row}
          onRow={setFocus}
          style={candidateStyle(index)}
          selected={selected}
          onSelect={setSelected}
        />
      </div>
      {step > OVER_TIME.length + 2 && (
        <LogPart part="speeds" title="Over engine speed" summary="shaft speed and volumetric efficiency">
          <div className={styles.pair}>
            {(['shaft', 'efficiency'] as const).map((kind) => (
              <SpeedChart key={kind} kind={kind} {...{ results, index, result, shown, row }} onRow={setFocus} />
            ))}
          </div>
        </LogPart>
      )}
      {step > OVER_TIME.length + 3 && (
        <LogPart part="rows" title="Rows of the pulls" summary={`${shown.length} of ${result.rows.length}`}>
          <RowTable rows={shown} focus={focus} onRow={setFocus} />
        </LogPart>
      )}
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
  const model: MapPlotModel = { chart, operatingLines, places: [], measured, focus, wordsElsewhere: true };
  return (
    <section className={styles.block} aria-labelledby="log-map">
      <h2 id="log-map">On the map of {letter}</h2>
      <div className={styles.map}>
        <MapPlot
          model={model}
          handlers={handlers}
          label={`Compressor map of candidate ${letter} with ${rows.length} rows of the road log over the predicted line`}
        />
      </div>
      <p className={styles.cautions}>
        Marks on the line: engine speed. Speed lines: corrected, rpm. Islands: efficiency. Dots: rows of the log, full
        where the map meters flow to 2 %, hollow to 5 %, crosses: kept out; lines: one standard deviation. Dotted: only
        the pressure ratio is known. A map meters well only in its right-hand part, where shaft speed changes with flow.
        The flow meter was proved on one measured compressor, not on a car.
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
  return rows[nearestIndex(rows.map(of), at)] ?? null;
}

interface TimeProps {
  result: RoadLogResult;
  rows: LogRows;
  inPull: readonly RoadLogRow[];
  isWhole: boolean;
  /** So many of the charts are drawn by now. */
  count: number;
  row: RoadLogRow | null;
  onRow: (row: number) => void;
  /** Of the candidate that predicts. */
  style: CandidateStyle;
  selected: Stretch | null;
  onSelect: (stretch: Stretch | null) => void;
}

/** Engine speed, manifold pressure and shaft speed over one stretch of time; dragging selects, and the selection can be zoomed to. */
function TimeCharts(props: TimeProps) {
  const { result, rows, inPull, isWhole, count, row, onRow, style, selected, onSelect } = props;
  const whole = useMemo(() => timeRange(rows, isWhole ? [] : inPull), [rows, inPull, isWhole]);
  const [zoom, setZoom] = useState<Stretch | null>(null);
  // What is being dragged moves here alone: map and table follow when it is let go.
  const [dragged, setDragged] = useState<Stretch | null>(null);
  const stretch = zoom ?? whole;
  const quantities = OVER_TIME.filter(({ key }) => rows.channels.some((channel) => channel.key === key));
  const handlers: TimeChartProps['handlers'] = {
    onPoint: (pointed) => {
      const near = pointed === null ? null : nearestBy(inPull, ({ timeS }) => timeS, pointed.x);
      if (near !== null) onRow(near.row);
    },
    onSelect: (chosen, { done }) => {
      setDragged(done ? null : chosen);
      if (done) onSelect(chosen);
    },
  };
  const unit = rows.timeS === null ? 'rows' : 's';
  return (
    <section className={styles.block} aria-labelledby="log-time">
      <h2 id="log-time">Over time</h2>
      {quantities.map((quantity, at) => (
        <div key={quantity.key} className={styles.chart}>
          {at < count && (
            <TimeChart
              {...{ quantity, rows, result, stretch, style, handlers }}
              focusX={row?.timeS ?? null}
              selected={dragged ?? selected}
            />
          )}
        </div>
      ))}
      <div className={styles.window}>
        <span>
          {formatNumber(stretch[0], 1)} to {formatNumber(stretch[1], 1)} {unit}
        </span>
        <Button isDisabled={selected === null} onPress={() => setZoom(selected)}>
          Zoom to the selection
        </Button>
        <Button isDisabled={zoom === null} onPress={() => setZoom(null)}>
          Show all of it
        </Button>
      </div>
    </section>
  );
}

interface TimeChartProps extends Pick<TimeProps, 'result' | 'rows' | 'style' | 'selected'> {
  quantity: (typeof OVER_TIME)[number];
  stretch: Stretch;
  focusX: number | null;
  handlers: NonNullable<ComponentProps<typeof LineChart>['handlers']>;
}

function TimeChart({ quantity, result, rows, stretch, style, focusX, selected, handlers }: TimeChartProps) {
  const units = useResultUnits();
  const model = useMemo(
    () => overTime(quantity, rows, result, stretch, units, style),
    [quantity, rows, result, stretch, units, style],
  );
  return (
    <LineChart
      model={{ ...model, focusX, selected }}
      label={`${quantity.title} over time`}
      keys="Left and right arrow read row by row, with Shift they select a stretch, Escape lets it go."
      handlers={handlers}
    />
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
  index: number;
  result: RoadLogResult;
  shown: readonly RoadLogRow[];
  row: RoadLogRow | null;
  onRow: (row: number) => void;
}

function SpeedChart({ kind, results, index, result, shown, row, onRow }: SpeedProps) {
  const units = useResultUnits();
  const title =
    kind === 'shaft' ? 'Shaft speed, predicted and measured' : 'Volumetric efficiency, entered and measured';
  const entered = results.input?.engine.volumetricEfficiency ?? null;
  const model = useMemo(() => {
    if (kind === 'shaft') return shaftOverSpeed(shown, units, candidateStyle(index));
    const at = (rpm: number) => (entered === null ? null : evaluateCurve(entered, rpm));
    return efficiencyOverSpeed(shown, at, result.fit?.volumetricEfficiency ?? []);
  }, [kind, index, shown, units, entered, result.fit]);
  return (
    <section className={styles.block} aria-label={title}>
      <h3>{title}</h3>
      {model === null ? (
        <p className={styles.cautions}>
          {kind === 'shaft' ? 'No row has a shaft speed to compare.' : 'No row meters flow well enough to tell.'}
        </p>
      ) : (
        <div className={styles.tall}>
          <LineChart
            model={{ ...model, focusX: row === null ? null : Math.round(row.engineSpeedRpm / 100) * 100 }}
            label={`${title}, over engine speed`}
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
