import { memo, type ReactNode, useMemo, useState } from 'react';
import type { Build } from '../../build/index.ts';
import type { SpreadDone } from '../../match/index.ts';
import { LineChart } from '../../plot/index.ts';
import { isSameStudy, type SpreadStudy, useBuild, useLugline, useLuglineStore } from '../../store/index.ts';
import { formatNumber, rpmText } from '../../units/index.ts';
import { Button, DataTable, Sentences } from '../../widgets/index.ts';
import { candidateLetter, useResultUnits } from '../shared/display.ts';
import { ToolSelect } from '../shared/ToolBar.tsx';
import styles from './altitude.module.css';
import barStyles from './bars.module.css';
import { spreadCeilings } from './model/ceilingCharts.ts';
import { usePointed } from './model/pointed.ts';
import {
  crossingChance,
  influenceBars,
  influencesAt,
  isSpreadDriven,
  type MovedOutput,
  spreadShaft,
  spreadWords,
  TURBINE_OUTPUTS,
  type TurbineOutput,
} from './model/spreadCharts.ts';

/** How sure the numbers are: run in the worker on demand, kept up with the inputs from then on, until it is cancelled. */
export const SpreadSection = memo(function SpreadSection({ index }: { index: number }) {
  const slot = useLugline((state) => state.studies.spread);
  const isWanted = useLugline((state) => state.studies.spreadWanted);
  const build = useBuild();
  const { setStudies } = useLuglineStore().getState();
  const result = resultOf(slot.result, build.id, index);
  const isCurrent = result !== null && isSameStudy('spread', result.build, build);
  const letter = candidateLetter(index);
  const run = () => {
    // Off and on again: a run that failed is tried anew.
    setStudies({ spreadWanted: false });
    setStudies({ spreadWanted: true });
  };
  return (
    <section className={styles.spread} aria-labelledby="spread-title">
      <div className={styles.bar}>
        <h2 id="spread-title">How sure is it? The spread of {letter}, where the car stands</h2>
        <span className="grow" />
        {slot.running ? (
          <>
            <progress
              className={styles.progress}
              aria-label="Share of the samples done"
              value={slot.progress ?? 0}
              max={1}
            />
            <Button onPress={() => setStudies({ spreadWanted: false })}>Cancel the spread</Button>
          </>
        ) : (
          <Button variant="primary" isDisabled={isCurrent && isWanted} onPress={run}>
            Run the spread
          </Button>
        )}
      </div>
      <p className={styles.state} role="status" data-stale={(result !== null && !isCurrent) || undefined}>
        {stateWords(slot, isCurrent, result)}
      </p>
      {result !== null && (
        <div data-stale={!isCurrent || undefined} className={styles.spreadResults}>
          <SpreadResults study={result} />
        </div>
      )}
    </section>
  );
});

function resultOf(result: SpreadStudy | null, buildId: string, index: number): SpreadStudy | null {
  return result !== null && result.build.id === buildId && result.candidateIndex === index ? result : null;
}

function stateWords(
  slot: { running: boolean; progress: number | null; problem: string | null },
  isCurrent: boolean,
  result: SpreadStudy | null,
): string {
  if (slot.problem !== null) return slot.problem;
  if (slot.running) {
    const done = `${formatNumber((slot.progress ?? 0) * 100, 0)}\u00a0% done`;
    return result === null
      ? `Computing: ${done}.`
      : `Computing: ${done}. Shown below is the state before the last change.`;
  }
  if (result === null) {
    return 'Not run. Each input is varied within its tolerance (on the left), many times over, and the whole match is solved each time.';
  }
  const { samples, seed } = result.spread;
  const from = `${formatNumber(samples, 0)} samples, seed ${seed}`;
  return isCurrent ? `Up to date: ${from}.` : `Of other inputs (${from}). Run it again for the present ones.`;
}

/** Bands, chances and influences of one spread. */
const SpreadResults = memo(function SpreadResults({ study }: { study: SpreadStudy }) {
  const units = useResultUnits();
  const [{ engineSpeedRpm }, point] = usePointed();
  const { build, spread, ambientPressurePa } = study;
  const bars = { build, spread, engineSpeedRpm: influencesAt(spread, engineSpeedRpm) };
  const charts = useMemo(
    () => [
      { key: 'shaft', label: 'Shaft speed with its band', model: spreadShaft(spread, units) },
      { key: 'ceiling', label: 'Ceiling with its band', model: spreadCeilings(build, spread, ambientPressurePa) },
      { key: 'chance', label: 'Chance that a limit is crossed', model: crossingChance(spread) },
    ],
    [build, spread, ambientPressurePa, units],
  );
  return (
    <>
      <div className={styles.trio}>
        {charts.map(({ key, label, model }) => (
          <div key={key} className={styles.medium}>
            <LineChart
              model={{ ...model, focusX: engineSpeedRpm }}
              label={`${label}, over engine speed`}
              handlers={{ onPoint: (at) => at && point({ engineSpeedRpm: at.x }) }}
            />
          </div>
        ))}
      </div>
      <div className={styles.spreadWords}>
        <Sentences as="p" of={spreadWords(build, study, engineSpeedRpm)} />
      </div>
      <div className={styles.influences}>
        <InfluenceBars {...bars} output="shaftSpeedRpm" title="What moves the shaft speed most" />
        <InfluenceBars {...bars} output="ceilingPa" title="What moves the ceiling most" />
        {isSpreadDriven(spread) && <TurbineInfluences {...bars} />}
      </div>
    </>
  );
});

interface Props {
  build: Build;
  spread: SpreadDone;
  /** null: over all of them. */
  engineSpeedRpm: number | null;
  output: MovedOutput;
  title: string;
  /** In place of the title: a choice of what is shown. */
  heading?: ReactNode;
}

/** A bar chart that is a table: the longest bar is the input worth measuring better. */
function InfluenceBars({ build, spread, engineSpeedRpm, output, title, heading }: Props) {
  const bars = influenceBars(build, spread, output, engineSpeedRpm);
  const where = engineSpeedRpm === null ? 'over all engine speeds' : `at ${rpmText(engineSpeedRpm)}`;
  if (bars.length === 0) {
    return <p className={barStyles.few}>{title}: too few samples to tell. Enter more of them with the tolerances.</p>;
  }
  const slight = bars.filter(({ isSlight }) => isSlight).map(({ name }) => name);
  return (
    <div>
      <DataTable
        className={barStyles.bars}
        label={title}
        caption={
          <>
            {heading ?? title} <small>{where}</small>
          </>
        }
        head={['Input', 'Share of the spread', 'By its whole tolerance up']}
        rows={bars
          .filter(({ isSlight }) => !isSlight)
          .map(({ key, name, share, shareText, effect }) => {
            const bar = (
              <td key="share">
                <span className={barStyles.barHolder}>
                  <span className={barStyles.barFill} style={{ width: `${share * 100}%` }} />
                </span>
                <span className={barStyles.barText}>{shareText}</span>
              </td>
            );
            return { key, name, cells: [bar, effect] };
          })}
      />
      {slight.length > 0 && <p className="soft small above-s">Under half a per cent each: {slight.join(', ')}.</p>}
    </div>
  );
}

/** What moves a result of the turbine side most; which one is chosen in its heading. */
function TurbineInfluences(props: Pick<Props, 'build' | 'spread' | 'engineSpeedRpm'>) {
  const [output, setOutput] = useState<TurbineOutput>('backPressureRatio');
  const name = TURBINE_OUTPUTS.find(({ key }) => key === output)?.name ?? '';
  const choice = (
    <ToolSelect
      name="Which result of the turbine is moved"
      value={output}
      options={TURBINE_OUTPUTS.map(({ key, name: of }) => ({ key, name: `What moves ${of} most` }))}
      onChange={setOutput}
    />
  );
  return <InfluenceBars {...props} output={output} title={`What moves ${name} most`} heading={choice} />;
}
