import { Fragment, useDeferredValue, useEffect, useMemo, useState } from 'react';
import {
  type Build,
  type KnownVeColumn,
  knownVeCells,
  knownVeColumns,
  knownVeText,
  readKnownVe,
  setBuildField,
  spreadSetup,
  tolerancesOf,
  tryMatchInput,
} from '../../../build/index.ts';
import { POWER_CORRECTION_NAMES } from '../../../engine/index.ts';
import {
  knownVolumetricEfficiency,
  ownPlace,
  type ResultUnits,
  showResult,
  solveCeilings,
  solveOperatingLine,
  takeVolumetricEfficiency,
} from '../../../match/index.ts';
import type { KnownVe, KnownVeRow, KnownVeRun, MatchInput } from '../../../match/types.ts';
import type { Curve } from '../../../numerics/types.ts';
import { type LogTaken, selectShownCandidate, useApply, useBuild, useLugline } from '../../../store/index.ts';
import { counted, formatNumber, rpmText, unitOf } from '../../../units/index.ts';
import { Button, CellGrid, DataTable, Dialog, isHeading } from '../../../widgets/index.ts';
import { useResultUnits } from '../../shared/display.ts';
import { Field } from '../../shared/Field.tsx';
import { mostDifferent, TakenVeTable, takeVeCommand } from '../../shared/TakenVe.tsx';
import { REST_MS } from '../drawer/DifferencePanels.tsx';
import styles from './knownVe.module.css';

/** The volumetric efficiency from a dynamometer run or an air-mass sensor: what was read, what each row gives, and what taking it changes. */
export function KnownVeDialog({ onClose }: { onClose: () => void }) {
  const build = useBuild();
  const index = useLugline(selectShownCandidate) ?? 0;
  const apply = useApply();
  const units = useResultUnits();
  const late = useDeferredValue(build);
  const known = useMemo(() => knownOf(late, index), [late, index]);
  const { taken, run } = known;
  const isPower = build.knownVe.meter === 'power';
  const take = () => {
    if (taken === null || run === null) return;
    apply(takeVeCommand(build, taken, sourceOf(run, units), isPower ? 'dynamometer run' : 'air-mass sensor'));
    onClose();
  };
  return (
    <Dialog
      title="Volumetric efficiency from a dynamometer run or air-mass sensor"
      size="large"
      onClose={onClose}
      actions={
        <>
          <Button onPress={onClose}>Close</Button>
          <Button variant="primary" isDisabled={taken === null || late !== build} onPress={take}>
            Take this volumetric efficiency
          </Button>
        </>
      }
    >
      <div className={styles.whole}>
        <Conditions isPower={isPower} />
        <div className={styles.main}>
          <RunRows build={build} />
          <Answer known={known} index={index} units={units} />
        </div>
      </div>
    </Dialog>
  );
}

function Conditions({ isPower }: { isPower: boolean }) {
  return (
    <section className={styles.conditions} aria-label="How it was read">
      <Field path="knownVe.meter" />
      {isPower && (
        <>
          <Field path="knownVe.at" />
          <Field path="knownVe.correction" />
        </>
      )}
      <Field path="knownVe.basis" />
      <Field path="knownVe.airPressure" />
      <Field path="knownVe.airTemperature" />
      <Field path="knownVe.relativeHumidity" />
      {isPower ? <Field path="knownVe.powerUnit" /> : <Field path="knownVe.flowUnit" />}
      <Field path="knownVe.pressureUnit" />
      <Field path="knownVe.temperatureUnit" />
      {isPower && <Field path="knownVe.bsfcUnit" />}
      <p className={styles.hint}>
        {isPower
          ? 'A correction to a standard day is undone first: on a boosted engine it is power that was not there. Left empty: the charge temperature is that of the cooler, lambda and bsfc are the entered curves.'
          : 'Air of the whole engine. A charge temperature left empty is that of the cooler as entered.'}
      </p>
    </section>
  );
}

/** The rows as they were typed, kept with the build. */
function RunRows({ build }: { build: Build }) {
  const apply = useApply();
  const { meter } = build.knownVe;
  const path = meter === 'power' ? 'knownVe.powerRows' : 'knownVe.airRows';
  const text = build.knownVe[meter === 'power' ? 'powerRows' : 'airRows'];
  const rows = useMemo(() => knownVeCells(text), [text]);
  const { knownVe } = build;
  const columns = useMemo(() => knownVeColumns({ knownVe }), [knownVe]);
  const shown = useMemo(() => columns.map(shownColumn), [columns]);
  const cells = useMemo(() => rows.map((row) => columns.map((_, i) => row[i] ?? '')), [rows, columns]);
  const { marks, problems } = readKnownVe(build);
  const set = (next: readonly (readonly string[])[]) => apply(setBuildField(path, knownVeText(next)));
  return (
    <>
      <CellGrid
        label="Rows of the run"
        columns={shown}
        rows={cells}
        marks={marks.map((mark) => ({ ...mark, severity: 'error' as const }))}
        maxHeight="260px"
        hint="Type the rows, or paste them from the sheet."
        onEdit={(row, column, cell) => set(withBlock(rows, row, column, [[cell]]))}
        onPaste={(row, column, matrix) => {
          const hasHeading = matrix.length > 1 && isHeading(matrix[0] ?? []);
          set(withBlock(rows, row, column, hasHeading ? matrix.slice(1) : matrix));
        }}
        onInsertRow={(at) => set(rows.toSpliced(at, 0, []))}
        onDeleteRows={(first, count) => set(rows.toSpliced(first, count))}
      />
      {(marks.length > 0 || problems.length > 0) && (
        <ul className="callout-stop small plain-list" aria-label="What cannot be read">
          {problems.map(({ message }) => (
            <li key={message}>{message}</li>
          ))}
          {marks.slice(0, MOST_MARKS).map(({ row, column, message }) => (
            <li key={`${row} ${column}`}>{message}</li>
          ))}
          {marks.length > MOST_MARKS && <li>{marks.length - MOST_MARKS} more cells cannot be read.</li>}
        </ul>
      )}
    </>
  );
}

const MOST_MARKS = 5;

function shownColumn({ key, title, quantity, unit, optional }: KnownVeColumn) {
  const { label } = unitOf(quantity, unit);
  return { key, header: title, unit: label, ...(optional && { placeholder: 'as entered' }) };
}

/** The rows with a block put at a cell; rows and cells that are missing are added. */
function withBlock(
  rows: readonly (readonly string[])[],
  row: number,
  column: number,
  block: readonly (readonly string[])[],
) {
  const next = rows.map((cells) => [...cells]);
  block.forEach((texts, down) => {
    while (next.length <= row + down) next.push([]);
    const cells = next[row + down]!;
    while (cells.length < column) cells.push('');
    texts.forEach((text, across) => {
      cells[column + across] = text;
    });
  });
  return next;
}

interface Known {
  run: KnownVeRun | null;
  known: KnownVe | null;
  taken: LogTaken | null;
  /** What of the build stands in the way. */
  problem: string | null;
}

const MOST_SPEEDS = 10;

function knownOf(build: Build, index: number): Known {
  const { run } = readKnownVe(build);
  const read = tryMatchInput(build, index);
  if (!read.ok) {
    const problem = read.problems[0]?.message ?? 'The inputs cannot be read. Check them.';
    return { run, known: null, taken: null, problem };
  }
  if (run === null || run.readings.length === 0) return { run, known: null, taken: null, problem: null };
  const { setup } = spreadSetup(build);
  const tolerances = setup === null ? undefined : tolerancesOf(setup.tolerances, read.input);
  const known = knownVolumetricEfficiency(read.input, run, tolerances);
  return { run, known, taken: known.fit && takenOf(read.input, known.fit), problem: null };
}

function takenOf(input: MatchInput, fit: NonNullable<KnownVe['fit']>): LogTaken {
  const entered = input.engine.volumetricEfficiency;
  const taken = takeVolumetricEfficiency(entered, fit);
  const [from, to] = taken.coveredRpm;
  const within = input.engineSpeedsRpm.filter((n) => n >= from - 250 && n <= to + 250);
  const every = Math.max(1, Math.ceil(within.length / MOST_SPEEDS));
  const engineSpeedsRpm = within.filter((_, at) => at % every === 0);
  // Ceilings would hold up the typing: they follow when it rests.
  const line = (volumetricEfficiency: Curve) => ({
    points: solveOperatingLine({ ...input, engine: { ...input.engine, volumetricEfficiency }, engineSpeedsRpm }),
    ceilingsPa: null,
  });
  return { ...taken, entered, before: line(entered), after: line(taken.curve) };
}

/** At so many engine speeds the ceiling is asked for: its change is as even as that of the curve. */
const CEILINGS = 5;

/** How the highest boost that every limit allows changes today with what is taken, where it changes most; once the typing rests. */
function CeilingChange({ taken, index, units }: { taken: LogTaken; index: number; units: ResultUnits }) {
  const build = useBuild();
  const [said, setSaid] = useState('');
  useEffect(() => {
    const timer = setTimeout(() => setSaid(ceilingWords(build, index, taken, units)), REST_MS);
    return () => clearTimeout(timer);
  }, [build, index, taken, units]);
  return (
    <p className={styles.ceiling} role="status">
      {said}
    </p>
  );
}

function ceilingWords(build: Build, index: number, taken: LogTaken, units: ResultUnits): string {
  const read = tryMatchInput(build, index);
  if (!read.ok) return '';
  const speeds = taken.before.points.map(({ engineSpeedRpm }) => engineSpeedRpm);
  const every = Math.max(1, Math.ceil(speeds.length / CEILINGS));
  const engineSpeedsRpm = speeds.filter((_, at) => at % every === 0);
  const limits = { ...read.input.limits, stayBelowTopLine: build.limits.stayBelowTopLine };
  const ceilings = (volumetricEfficiency: Curve) => {
    const car = { ...read.input, engine: { ...read.input.engine, volumetricEfficiency } };
    const { cells } = solveCeilings(car, [ownPlace(car)], engineSpeedsRpm, limits);
    return (cells[0] ?? []).map((cell) => (cell.status === 'ok' ? cell.gaugeBoostPa : null));
  };
  const [before, after] = [ceilings(taken.entered), ceilings(taken.curve)];
  const changes = engineSpeedsRpm.flatMap((rpm, at) => {
    const [was, is] = [before[at] ?? null, after[at] ?? null];
    return was === null || is === null ? [] : [{ rpm, was, is }];
  });
  const size = ({ was, is }: { was: number; is: number }) => Math.abs(is - was);
  const most = changes.reduce<(typeof changes)[number] | null>(
    (best, one) => (best === null || size(one) > size(best) ? one : best),
    null,
  );
  if (most === null) return '';
  const boost = (pa: number) => showResult(pa, 'boost', units);
  return boost(most.was) === boost(most.is)
    ? `The highest boost at which every limit holds stays: ${boost(most.is)} at ${rpmText(most.rpm)}.`
    : `The highest boost at which every limit holds changes most at ${rpmText(most.rpm)}: ${boost(most.was)} before, ${boost(most.is)} after.`;
}

function Answer({
  known: { run, known, taken, problem },
  index,
  units,
}: {
  known: Known;
  index: number;
  units: ResultUnits;
}) {
  if (problem !== null) return <p className="callout-stop small plain-list">{problem}</p>;
  if (run === null || known === null) return null;
  const [from, to] = taken?.coveredRpm ?? [0, 0];
  return (
    <>
      {known.fit !== null && taken !== null && (
        <p className="strong" role="status">
          {`${mostDifferent(known.fit.volumetricEfficiency)}; known to ±${formatNumber(100 * taken.tolerance, 0)}\u00a0% (two standard deviations).`}
        </p>
      )}
      <RowsGiven rows={known.rows} run={run} units={units} />
      {taken !== null && (
        <>
          <p className={styles.hint}>
            Taking it enters the curve {from === to ? 'at' : `from ${formatNumber(from, 0)} to`} {formatNumber(to, 0)}{' '}
            rpm, its tolerance and a note, as one step of undo. Outside nothing changes; rows within 250 rpm are taken
            as one. Back-pressure is taken out again, as the entered curve needs it.
          </p>
          {taken.before.points.length > 0 && (
            <>
              <CeilingChange taken={taken} index={index} units={units} />
              <TakenVeTable taken={taken} of="of the run" />
            </>
          )}
        </>
      )}
    </>
  );
}

/** What each row gives, with its own band. */
function RowsGiven({ rows, run, units }: { rows: readonly KnownVeRow[]; run: KnownVeRun; units: ResultUnits }) {
  const isPower = run.meter === 'power';
  const percent = (share: number) => `${formatNumber(100 * share, 1)}\u00a0%`;
  const offMap = (
    <td key="off-map" colSpan={isPower ? 5 : 4}>
      Off the map: without its answer neither back-pressure nor charge temperature is known.
    </td>
  );
  const cellsOf = (row: Extract<KnownVeRow, { status: 'ok' }>, reading: number) => [
    ...(isPower ? [showResult(reading * row.powerFactor, 'power', units)] : []),
    showResult(row.airMassFlowKgPerS, 'air-flow', units),
    ...[percent(row.entered), percent(row.asRun)],
    <Fragment key="to-enter">
      <strong>{percent(row.volumetricEfficiency)}</strong> ±
      {formatNumber(200 * Math.hypot(row.randomDeviation, row.systematicDeviation), 0)}
    </Fragment>,
  ];
  return (
    <section
      className={styles.given}
      aria-label="What each row gives, scrolls"
      // biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reachable by keyboard
      tabIndex={0}
    >
      <DataTable
        className={styles.givenTable}
        label="What each row gives"
        head={[
          'Engine speed',
          ...(isPower ? ['Crank power as it was'] : []),
          'Air',
          'Entered',
          'As it ran',
          'To enter',
        ]}
        rows={rows.map((row, i) => ({
          key: i,
          name: showResult(row.engineSpeedRpm, 'engine-speed', units),
          cells: row.status === 'off-map' ? [offMap] : cellsOf(row, run.readings[i]!.reading),
        }))}
      />
    </section>
  );
}

/** For the note: 'a dynamometer run (9 rows, power at the wheels, corrected by SAE J1349, undone) in air of 98.0 kPa and 25 °C'. */
function sourceOf({ meter, readings, ambient, power }: KnownVeRun, units: ResultUnits): string {
  const rows = counted(readings.length, 'row');
  const undone =
    power.correction === 'none' ? POWER_CORRECTION_NAMES.none : `${POWER_CORRECTION_NAMES[power.correction]}, undone`;
  const what =
    meter === 'power'
      ? `a dynamometer run (${rows}, power at the ${power.at === 'crank' ? 'crankshaft' : 'wheels'}, ${undone})`
      : `an air-mass sensor (${rows})`;
  return `${what} in air of ${showResult(ambient.pressurePa, 'absolute-pressure', units)} and ${showResult(ambient.temperatureK, 'temperature', units)}`;
}
