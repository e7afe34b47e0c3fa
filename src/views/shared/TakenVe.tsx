import { type Build, enterVolumetricEfficiency } from '../../build/index.ts';
import { type ResultUnits, showResult } from '../../match/index.ts';
import type { FittedVePoint, OperatingPoint } from '../../match/types.ts';
import { evaluateCurve } from '../../numerics/index.ts';
import type { LogTaken } from '../../store/index.ts';
import { formatNumber, fromSi, plainNumber } from '../../units/index.ts';
import { DataTable } from '../../widgets/index.ts';
import { useResultUnits } from './display.ts';
import styles from './takenVe.module.css';

/** A volumetric efficiency that was measured beside the entered one, and what changes with it. @param of the measured column: 'of the log' */
export function TakenVeTable({ taken, of }: { taken: LogTaken; of: string }) {
  const units = useResultUnits();
  const columns = ['Vol. efficiency', of, 'Shaft speed', 'after', 'Power', 'after'];
  const hasCeilings = taken.before.ceilingsPa !== null;
  return (
    <section
      className={styles.scroll}
      aria-label="Before and after, scrolls"
      // biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reachable by keyboard
      tabIndex={0}
    >
      <DataTable
        className={styles.table}
        label="Before and after taking the volumetric efficiency"
        head={['Engine speed', ...columns, ...(hasCeilings ? ['Boost ceiling', 'after'] : [])]}
        rows={changes(taken, units)}
      />
    </section>
  );
}

/** '−4.7 % at 5,500 rpm': where it differs most. */
export function mostDifferent(points: readonly FittedVePoint[]): string {
  const change = ({ value, entered }: FittedVePoint) => value / entered - 1;
  const most = points.reduce((best, point) => (Math.abs(change(point)) > Math.abs(change(best)) ? point : best));
  const sign = change(most) < 0 ? '−' : '+';
  return `${sign}${formatNumber(100 * Math.abs(change(most)), 1)} % at ${formatNumber(most.engineSpeedRpm, 0)} rpm, where it differs most`;
}

/**
 * The curve in the unit in which it was entered, the tolerance, and where it comes from, as one step of undo.
 * @param source for the note: 'the road log pull.csv of ...'
 * @param of for the undo button: 'log'
 */
export function takeVeCommand(
  build: Build,
  taken: Pick<LogTaken, 'curve' | 'tolerance' | 'coveredRpm'>,
  source: string,
  of: string,
) {
  const { unit } = build.engine.volumetricEfficiency;
  const rows = taken.curve.map(({ engineSpeedRpm, value }) => ({
    engineSpeed: plainNumber(engineSpeedRpm, 5),
    value: plainNumber(fromSi(value, 'volumetric-efficiency', unit), 5),
  }));
  const [from, to] = taken.coveredRpm.map((rpm) => formatNumber(rpm, 0));
  const range = from === to ? `at ${from} rpm` : `from ${from} to ${to} rpm`;
  const note = `Volumetric efficiency ${range} taken from ${source}.`;
  return enterVolumetricEfficiency({ unit, rows }, plainNumber(Math.max(100 * taken.tolerance, 0.1), 2), note, of);
}

/** At most this many rows; the line has more. */
const MOST_ROWS = 10;

function changes({ before, after, entered, curve, coveredRpm }: LogTaken, units: ResultUnits) {
  const all = before.points.map((point, at) => ({ point, other: after.points[at], at }));
  const covered = all.filter(
    ({ point }) => point.engineSpeedRpm >= coveredRpm[0] - 250 && point.engineSpeedRpm <= coveredRpm[1] + 250,
  );
  const boost = (pressurePa: number | null | undefined) => showResult(pressurePa, 'boost', units);
  const every = Math.max(1, Math.ceil(covered.length / MOST_ROWS));
  return covered
    .filter((_, at) => at % every === 0)
    .map(({ point, other, at }) => {
      const rpm = point.engineSpeedRpm;
      const percent = (value: number | null) => (value === null ? '–' : `${formatNumber(100 * value, 1)} %`);
      const shaft = (of: OperatingPoint | undefined) =>
        showResult(of?.status === 'ok' ? of.shaftSpeedRpm : null, 'shaft-speed', units);
      const power = (of: OperatingPoint | undefined) =>
        showResult(of?.status === 'ok' ? of.brakePowerW : null, 'power', units);
      const cells = [
        percent(evaluateCurve(entered, rpm)),
        percent(evaluateCurve(curve, rpm)),
        ...[shaft(point), shaft(other), power(point), power(other)],
        ...(before.ceilingsPa === null ? [] : [before.ceilingsPa[at], after.ceilingsPa?.[at]].map(boost)),
      ];
      return { key: rpm, name: showResult(rpm, 'engine-speed', units), cells };
    });
}
