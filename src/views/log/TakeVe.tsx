import { type Build, enterInletLoss, type LogRecord } from '../../build/index.ts';
import { type LogStudy, useApply, useBuild } from '../../store/index.ts';
import { formatNumber, parseNumber, plainNumber } from '../../units/index.ts';
import { Button, Sentences } from '../../widgets/index.ts';
import { useResultUnits } from '../shared/display.ts';
import { nuisanceWords } from '../shared/logSentences.ts';
import { mostDifferent, TakenVeTable, takeVeCommand } from '../shared/TakenVe.tsx';
import { LogPart } from './LogColumns.tsx';
import styles from './log.module.css';

/** The volumetric efficiency of the joint fit beside the entered one, what changes with it, and the button that enters it. */
export function TakeVe({ record, study, isCurrent }: { record: LogRecord; study: LogStudy; isCurrent: boolean }) {
  const apply = useApply();
  const build = useBuild();
  const units = useResultUnits();
  const { taken, result } = study;
  if (taken === null || result?.fit == null) return null;
  const [from, to] = taken.coveredRpm;
  const { before, after } = result.fit.shaftSpeedDeviation;
  const inlet = inletLossOf(build, study);
  return (
    <LogPart
      part="take"
      title="The volumetric efficiency that this log gives"
      summary={mostDifferent(result.fit.volumetricEfficiency)}
    >
      <p className={styles.cautions}>
        Joint fit of all rows used, from {formatNumber(from, 0)} to {formatNumber(to, 0)} rpm; outside nothing changes.
        Its back-pressure is taken out again, as the entered curve needs it. The predicted shaft speed is then known to
        ±{formatNumber(100 * after, 2)} % instead of ±{formatNumber(100 * before, 1)} %. Taking it enters the curve, its
        tolerance (±{formatNumber(100 * taken.tolerance, 1)} %) and a note, as one step of undo.
      </p>
      <TakenVeTable taken={taken} of="of the log" />
      <div className={styles.actions}>
        <Button
          variant="primary"
          isDisabled={!isCurrent}
          onPress={() => apply(takeVeCommand(build, taken, sourceOf(record), 'log'))}
        >
          Take this volumetric efficiency
        </Button>
        {inlet !== null && (
          <Button isDisabled={!isCurrent} onPress={() => apply(inletCommand(inlet, record))}>
            {`Take this inlet loss: ${inlet.text} ${inlet.unit} instead of ${build.inletPath.loss.text} ${build.inletPath.loss.unit}`}
          </Button>
        )}
      </div>
      <p className={styles.cautions}>What else may be off, as the fit has it; none of it is entered:</p>
      <Sentences as="ul" className={styles.notes} of={result.fit.nuisances.map((one) => nuisanceWords(one, units))} />
    </LogPart>
  );
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
