import { type Build, enterInletLoss, enterVolumetricEfficiency, type LogRecord } from '../../build/index.ts';
import { type ResultUnits, showResult } from '../../match/index.ts';
import type { FittedVePoint, OperatingPoint, RoadLogFit } from '../../match/types.ts';
import { evaluateCurve } from '../../numerics/index.ts';
import { type LogStudy, type LogTaken, selectActiveBuild, useApply, useLugline } from '../../store/index.ts';
import { formatNumber, fromSi, parseNumber, plainNumber } from '../../units/index.ts';
import { Button } from '../../widgets/index.ts';
import { useResultUnits } from '../shared/display.ts';
import { nuisanceWords } from '../shared/logWords.ts';
import { LogPart } from './LogPart.tsx';
import styles from './log.module.css';

/** The volumetric efficiency of the joint fit beside the entered one, what changes with it, and the button that enters it. */
export function TakeVe({ record, study, isCurrent }: { record: LogRecord; study: LogStudy; isCurrent: boolean }) {
  const apply = useApply();
  const build = useLugline(selectActiveBuild);
  const units = useResultUnits();
  const { taken, result } = study;
  if (taken === null || result?.fit == null) return null;
  const [from, to] = taken.coveredRpm;
  const { before, after } = result.fit.shaftSpeedDeviation;
  const rows = changes(taken, units);
  const inlet = inletLossOf(build, study);
  return (
    <LogPart part="take" title="The volumetric efficiency that this log gives" summary={summaryOf(result.fit)}>
      <p className={styles.cautions}>
        Joint fit of all rows used, from {formatNumber(from, 0)} to {formatNumber(to, 0)} rpm; outside nothing changes.
        Its back-pressure is taken out again, as the entered curve needs it. The predicted shaft speed is then known to
        ±{formatNumber(100 * after, 2)} % instead of ±{formatNumber(100 * before, 1)} %. Taking it enters the curve, its
        tolerance (±{formatNumber(100 * taken.tolerance, 1)} %) and a note, as one step of undo.
      </p>
      <div className={styles.scroll}>
        <table
          className={`${styles.table} ${styles.rows}`}
          aria-label="Before and after taking the volumetric efficiency"
        >
          <thead>
            <tr>
              <th scope="col">Engine speed</th>
              <th scope="col">Vol. efficiency</th>
              <th scope="col">of the log</th>
              <th scope="col">Shaft speed</th>
              <th scope="col">after</th>
              <th scope="col">Power</th>
              <th scope="col">after</th>
              <th scope="col">Boost ceiling</th>
              <th scope="col">after</th>
            </tr>
          </thead>
          <tbody>
            {rows.map(({ rpm, cells }) => (
              <tr key={rpm}>
                <th scope="row">{showResult(rpm, 'engine-speed', units)}</th>
                {cells.map(({ key, text }) => (
                  <td key={key}>{text}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <div className={styles.actions}>
        <Button variant="primary" isDisabled={!isCurrent} onPress={() => apply(takeCommand(build, record, taken))}>
          Take this volumetric efficiency
        </Button>
        {inlet !== null && (
          <Button isDisabled={!isCurrent} onPress={() => apply(inletCommand(inlet, record))}>
            {`Take this inlet loss: ${inlet.text} ${inlet.unit} instead of ${build.inletPath.loss.text} ${build.inletPath.loss.unit}`}
          </Button>
        )}
      </div>
      <p className={styles.cautions}>
        What else may be off, as the fit has it; none of it is entered:{' '}
        {result.fit.nuisances.map(nuisanceWords).join('; ')}.
      </p>
    </LogPart>
  );
}

/** '−4.7 % at 5,500 rpm': where it differs most. */
function summaryOf({ volumetricEfficiency }: RoadLogFit): string {
  const change = ({ value, entered }: FittedVePoint) => value / entered - 1;
  const most = volumetricEfficiency.reduce((best, point) =>
    Math.abs(change(point)) > Math.abs(change(best)) ? point : best,
  );
  const sign = change(most) < 0 ? '−' : '+';
  return `${sign}${formatNumber(100 * Math.abs(change(most)), 1)} % at ${formatNumber(most.engineSpeedRpm, 0)} rpm, where it differs most`;
}

/** The curve in the unit in which it was entered, the tolerance, and where it comes from. */
function takeCommand(build: Build, record: LogRecord, taken: LogTaken) {
  const { unit } = build.engine.volumetricEfficiency;
  const rows = taken.curve.map(({ engineSpeedRpm, value }) => ({
    engineSpeed: plainNumber(engineSpeedRpm, 5),
    value: plainNumber(fromSi(value, 'volumetric-efficiency', unit), 5),
  }));
  const [from, to] = taken.coveredRpm.map((rpm) => formatNumber(rpm, 0));
  const note = `Volumetric efficiency from ${from} to ${to} rpm taken from ${sourceOf(record)}.`;
  return enterVolumetricEfficiency({ unit, rows }, plainNumber(Math.max(100 * taken.tolerance, 0.1), 2), note);
}

interface InletLoss {
  text: string;
  unit: string;
  tolerance: string;
}

/** The log tells the inlet loss from all else where its doubt is down to this share of what it was. */
const APART = 0.5;

/** The inlet loss of the fit in the unit in which it was entered; null where the pressure before the compressor was not logged or does not tell. */
function inletLossOf({ inletPath }: Build, { text, result }: LogStudy): InletLoss | null {
  const found = result?.fit?.nuisances.find(({ key }) => key === 'inletLoss');
  const isLogged = text.rows.channels.some(({ key }) => key === 'compressorInletPressure');
  const entered = parseNumber(inletPath.loss.text);
  if (found === undefined || !isLogged || !entered.ok || !(entered.value > 0)) return null;
  const { value, standardDeviation, priorDeviation } = found;
  if (!(standardDeviation < APART * priorDeviation && 1 + value > 0)) return null;
  const tolerance = Math.max((200 * standardDeviation) / (1 + value), 0.1);
  return {
    text: plainNumber(entered.value * (1 + value), 3),
    unit: inletPath.loss.unit,
    tolerance: plainNumber(tolerance, 2),
  };
}

function inletCommand({ text, unit, tolerance }: InletLoss, record: LogRecord) {
  return enterInletLoss({ text, unit }, tolerance, `Inlet loss of ${text} ${unit} taken from ${sourceOf(record)}.`);
}

const sourceOf = ({ name, addedAt, hash }: LogRecord) =>
  `the road log ${name} of ${addedAt.slice(0, 10)} (SHA-256 ${hash.slice(0, 12)})`;

/** At most this many rows; the line has more. */
const MOST_ROWS = 10;

function changes({ before, after, entered, curve, coveredRpm }: LogTaken, units: ResultUnits) {
  const all = before.points.map((point, at) => ({ point, other: after.points[at], at }));
  const covered = all.filter(
    ({ point }) => point.engineSpeedRpm >= coveredRpm[0] - 250 && point.engineSpeedRpm <= coveredRpm[1] + 250,
  );
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
      const texts = {
        entered: percent(evaluateCurve(entered, rpm)),
        log: percent(evaluateCurve(curve, rpm)),
        shaft: shaft(point),
        shaftAfter: shaft(other),
        power: power(point),
        powerAfter: power(other),
        ceiling: showResult(before.ceilingsPa[at], 'boost', units),
        ceilingAfter: showResult(after.ceilingsPa[at], 'boost', units),
      };
      return { rpm, cells: Object.entries(texts).map(([key, text]) => ({ key, text })) };
    });
}
