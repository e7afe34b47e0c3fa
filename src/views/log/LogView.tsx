import { memo, useMemo, useState } from 'react';
import { changeLog, type LogRecord, logsOf, removeLog } from '../../build/index.ts';
import {
  createId,
  draftOfFile,
  isSameStudy,
  type LogStudy,
  selectActiveBuild,
  useApply,
  useBuild,
  useCandidateResults,
  useLugline,
  useLuglineStore,
} from '../../store/index.ts';
import { counted, formatNumber } from '../../units/index.ts';
import { Button, Icon, Sentences } from '../../widgets/index.ts';
import { candidateLetter, useResultUnits } from '../shared/display.ts';
import { adviceWords, bladeWords, causeWords, lagWords, probeWords, warningSentences } from '../shared/logSentences.ts';
import { ToolSelect } from '../shared/ToolBar.tsx';
import { Drift } from './Drift.tsx';
import { LogCharts } from './LogCharts.tsx';
import { LogColumns, LogPart, LogQuestions, LogReading, useLogParts, useSteps } from './LogColumns.tsx';
import styles from './log.module.css';
import { type AnswerPlace, type LogAnswer, logAnswer } from './model/answer.ts';
import { TakeVe } from './TakeVe.tsx';

const ROAD_CAUTIONS =
  'Full-throttle pulls belong on a dynamometer or a closed course, and a second person reads the screen. What a log says is measured with the sensors that it names, and computed with what the build holds; the makers’ limits come first.';

/** What a log of the car says: how it was read, what it warns of, and its rows over the predicted line. */
export function LogView({ openFiles }: { openFiles: () => void }) {
  const build = useBuild();
  const study = useLugline((state) => state.studies.log.result);
  const opened = useLugline((state) => state.openedLog);
  const record = logsOf(build).find(({ id }) => id === opened?.record.id) ?? null;
  const own = record !== null && study?.record.id === record.id && study.build.id === build.id ? study : null;
  const isEmpty = record === null && opened === null;
  return (
    <div className={styles.view}>
      {(!isEmpty || logsOf(build).length > 0) && <LogBar record={record} openFiles={openFiles} />}
      <LogState record={record} study={own} />
      {isEmpty && <NoLog openFiles={openFiles} />}
      {record !== null && own !== null && <LogOpen key={record.id} record={record} study={own} />}
      <p className={styles.cautions}>{ROAD_CAUTIONS}</p>
    </div>
  );
}

function LogBar({ record, openFiles }: { record: LogRecord | null; openFiles: () => void }) {
  const build = useBuild();
  const apply = useApply();
  const store = useLuglineStore();
  const logs = logsOf(build);
  const choose = (openLogId: string) => {
    store.getState().openLog(null);
    store.getState().setUi({ openLogId });
  };
  const remove = () => {
    if (record === null) return;
    store.getState().openLog(null);
    apply(removeLog(record.id));
  };
  return (
    <div className={styles.bar}>
      <h1 className="medium strong">Road log</h1>
      {logs.length > 0 && (
        <ToolSelect
          name="Which log is shown"
          value={record?.id ?? ''}
          options={[
            ...(record === null ? [{ key: '', name: 'None' }] : []),
            ...logs.map(({ id, name, invented }) => ({ key: id, name: invented ? `${name} (invented)` : name })),
          ]}
          onChange={choose}
        />
      )}
      {record !== null && (
        <ToolSelect
          name="The candidate that was in the car"
          value={record.candidateId}
          options={build.candidates.map(({ id, name }, at) => ({ key: id, name: `${candidateLetter(at)}: ${name}` }))}
          onChange={(candidateId) => apply(changeLog(record.id, { candidateId }, 'change the candidate of the log'))}
        />
      )}
      <span className="grow" />
      <Button onPress={openFiles}>Open a log…</Button>
      {record !== null && <Button onPress={remove}>Remove this log</Button>}
    </div>
  );
}

/** The invented log of the demonstration car; only there, since it is a log of no other. The worker makes it. */
function DemoButton() {
  const store = useLuglineStore();
  const open = () => {
    const state = store.getState();
    const candidate = selectActiveBuild(state).candidates[0];
    if (candidate === undefined) return;
    const record = draftOfFile(createId(), 'demonstration-log.csv', new Date().toISOString(), candidate.id, true);
    state.openLog({ record, bytes: null, isNew: true });
  };
  return <Button onPress={open}>Try the invented log</Button>;
}

/** Before the first log: what it answers, what it takes, and the two ways in. */
function NoLog({ openFiles }: { openFiles: () => void }) {
  const isDemo = useLugline((state) => selectActiveBuild(state).invented === true);
  return (
    <div className={styles.empty}>
      <h1>Did the shaft stay under its limit, and is the car where the match said?</h1>
      <p>Log two or three full-throttle pulls and drop the file anywhere on this page.</p>
      <dl>
        <dt>Columns</dt>
        <dd>Engine speed and manifold pressure; shaft speed if a pickup is fitted. Whatever else is there helps.</dd>
        <dt>Form</dt>
        <dd>
          Text with comma, semicolon, tab or bar between columns; names in English, German, French or Spanish; any usual
          unit.
        </dd>
        <dt>Kept</dt>
        <dd>The file stays on this machine. The build keeps at most 2000 rows of it.</dd>
      </dl>
      <div className={styles.ways}>
        <Button variant="primary" onPress={openFiles}>
          Open a log…
        </Button>
        {isDemo && <DemoButton />}
      </div>
    </div>
  );
}

/** Reading, up to date, or why not. Its room is always there. */
function LogState({ record, study }: { record: LogRecord | null; study: LogStudy | null }) {
  const slot = useLugline((state) => state.studies.log);
  const build = useBuild();
  const store = useLuglineStore();
  const isReading = slot.running;
  const cancel = () => {
    store.getState().setUi({ openLogId: '' });
    store.getState().openLog(null);
  };
  const isCurrent = study !== null && isSameStudy('log', study.build, build);
  const problem = slot.problem ?? study?.inputProblem ?? null;
  const duration = study?.text.durationS ?? null;
  const facts =
    study === null
      ? ''
      : [
          `${formatNumber(study.text.rowCount, 0)} rows`,
          duration === null ? 'no time' : `${formatNumber(duration, 0)} s`,
          counted(study.text.sessionCount, 'session'),
          `SHA-256 ${study.text.hash.slice(0, 12)}…`,
          ...(study.text.isFromKeptRows
            ? ['the file itself is not on this machine: shown are the rows that the build keeps']
            : []),
        ].join(', ');
  return (
    <div className={styles.state} role="status" data-problem={problem !== null || undefined}>
      {isReading ? (
        <>
          <span>Reading {record?.name ?? 'the log'} …</span>
          <progress aria-label="Share of the log read" value={slot.progress ?? undefined} max={1} />
          <Button onPress={cancel}>Cancel</Button>
        </>
      ) : (
        <span>{problem ?? (study !== null && !isCurrent ? `Of earlier inputs. ${facts}` : facts)}</span>
      )}
    </div>
  );
}

function LogOpen({ record, study }: { record: LogRecord; study: LogStudy }) {
  const units = useResultUnits();
  const results = useCandidateResults(study.candidateIndex);
  const { text, result } = study;
  const build = useBuild();
  const isCurrent = useLugline((state) => !state.studies.log.running) && isSameStudy('log', study.build, build);
  const sentences = useMemo(() => (result === null ? [] : warningSentences(result.warnings, units)), [result, units]);
  const answer = useMemo(() => logAnswer(study, units), [study, units]);
  const [asked, setAsked] = useState<{ row: number; timeS: number | null } | null>(null);
  const open = useLogParts();
  // The answer first, then the charts, and what stands under them when those are drawn.
  const hasCharts = result !== null && results !== null && result.rows.length > 0;
  const [isDrawn, setDrawn] = useState(false);
  const below = useSteps(isDrawn || !hasCharts ? 2 : 0);
  const go = (place: AnswerPlace) => {
    if (typeof place === 'object') {
      setAsked({ ...place });
      return;
    }
    open(place, true);
    // What was folded is in the page only then.
    setTimeout(() => document.getElementById(`log-${place}`)?.scrollIntoView?.({ block: 'start' }), 0);
  };
  const words =
    result === null
      ? []
      : [
          bladeWords(result.blades),
          lagWords(result.lag),
          probeWords(result.chargeProbe),
          ...result.causes.map(causeWords),
        ].filter((sentence) => sentence !== '');
  return (
    <>
      {answer !== null && <Answer answer={answer} onGo={go} />}
      {result !== null && <Proposals record={record} study={study} />}
      <LogQuestions record={record} text={text} />
      {hasCharts && (
        <LogCharts
          results={results}
          index={study.candidateIndex}
          result={result}
          rows={text.rows}
          after={study.taken?.after.points ?? null}
          asked={asked}
          onDrawn={setDrawn}
        />
      )}
      {below > 0 && result !== null && (
        <>
          <LogPart
            part="findings"
            title="What the log says"
            summary={counted(sentences.length + words.length, 'finding')}
          >
            <ol className={styles.findings} aria-label="Findings of the log, worst first">
              {sentences.map(({ key, severity, word, text: sentence }) => (
                <li key={key} data-severity={severity}>
                  <strong>{word}:</strong> {sentence}
                </li>
              ))}
              <Sentences of={words} />
            </ol>
          </LogPart>
          <TakeVe record={record} study={study} isCurrent={isCurrent} />
          <Drift record={record} study={study} />
          {result.whatToLogNext.length > 0 && (
            <LogPart
              part="next"
              title="What to log next"
              summary={result.whatToLogNext.slice(0, 1).map(adviceWords)[0]}
            >
              <ul className={styles.notes}>
                {result.whatToLogNext.map((advice) => (
                  <li key={advice.channels.join()}>{adviceWords(advice)}</li>
                ))}
              </ul>
            </LogPart>
          )}
        </>
      )}
      {below > 1 && (
        <>
          <LogColumns record={record} text={text} />
          <LogReading text={text} />
        </>
      )}
    </>
  );
}

const SIGNS = { stop: 'stop', caution: 'caution', note: 'note', good: 'check' } as const;

/** What the log comes to; pressing it goes to the place that it speaks of. */
function Answer({ answer, onGo }: { answer: LogAnswer; onGo: (place: AnswerPlace) => void }) {
  const { said, next } = answer;
  return (
    <section className={styles.answer} aria-label="What the log comes to">
      <p role="status">
        {said.map(({ severity, sentence, place }) => (
          <button key={sentence} type="button" data-severity={severity} onClick={() => onGo(place)}>
            <Icon name={SIGNS[severity]} />
            {sentence}
          </button>
        ))}
      </p>
      {next !== '' && (
        <p>
          <strong>Next:</strong> {next}.
        </p>
      )}
    </section>
  );
}

/** What may be taken from the log; nothing is by itself. Each is one step of undo. */
const Proposals = memo(function Proposals({ record, study }: { record: LogRecord; study: LogStudy }) {
  const apply = useApply();
  const { result } = study;
  const blades = result?.blades.verdict === 'other-count' ? result.blades.candidates[0] : undefined;
  const offset = result?.gauge?.offsetPa ?? 0;
  const change = (changed: Partial<LogRecord>, label: string) => apply(changeLog(record.id, changed, label));
  return (
    <div className={`${styles.actions} ${styles.proposals}`}>
      {blades !== undefined && (
        <Button
          onPress={() =>
            change(
              { shaftSpeedFactor: (record.shaftSpeedFactor ?? 1) * blades.shaftSpeedFactor },
              'take the blade count of the log',
            )
          }
        >
          {blades.blades === null ? 'Take this factor' : `Take ${blades.blades} blades`}
        </Button>
      )}
      {record.shaftSpeedFactor !== undefined && (
        <Button onPress={() => change({ shaftSpeedFactor: undefined }, 'put the blade count of the log back')}>
          Shaft speed as logged
        </Button>
      )}
      {Math.abs(offset) > 200 && record.manifoldZeroPa === undefined && (
        <Button onPress={() => change({ manifoldZeroPa: offset }, 'zero the gauge of the log')}>Zero the gauge</Button>
      )}
      {record.manifoldZeroPa !== undefined && (
        <Button onPress={() => change({ manifoldZeroPa: undefined }, 'leave the gauge of the log as it was')}>
          Gauge as logged
        </Button>
      )}
      <PullChoice record={record} study={study} />
    </div>
  );
});

/** More than these are folded. */
const MOST_SHOWN_PULLS = 6;

/** Which pulls are used. */
function PullChoice({ record, study }: { record: LogRecord; study: LogStudy }) {
  const apply = useApply();
  const pulls = study.result?.pulls ?? [];
  if (pulls.length < 2) return null;
  const used = pulls.flatMap((pull, at) => (pull.used ? [at] : []));
  const toggle = (at: number, isOn: boolean) => {
    const usePulls = isOn ? [...used, at].toSorted((a, b) => a - b) : used.filter((other) => other !== at);
    if (usePulls.length > 0) apply(changeLog(record.id, { usePulls }, 'choose pulls of the log'));
  };
  const choice = (
    <fieldset className={styles.window} aria-label="Pulls that are used">
      <span>Used:</span>
      {pulls.map((pull, at) => (
        <label key={pull.fromRow}>
          <input type="checkbox" checked={pull.used} onChange={({ target }) => toggle(at, target.checked)} /> Pull{' '}
          {at + 1}
        </label>
      ))}
    </fieldset>
  );
  if (pulls.length <= MOST_SHOWN_PULLS) return choice;
  return (
    <LogPart part="pulls" title="Pulls" summary={`${used.length} of ${pulls.length} used`}>
      {choice}
    </LogPart>
  );
}
