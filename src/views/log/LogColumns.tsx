import { type ReactNode, useEffect, useMemo, useState } from 'react';
import {
  CHANNELS,
  type ColumnHint,
  changeLog,
  LOG_UNITS,
  type LogColumn,
  type LogHints,
  type LogRecord,
  roleTitle,
  withHints,
} from '../../build/index.ts';
import { POWER_CORRECTION_NAMES, POWER_CORRECTIONS } from '../../engine/index.ts';
import { CHANNEL_KEYS } from '../../match/index.ts';
import { type LogSummary, useApply, useLugline, useLuglineStore } from '../../store/index.ts';
import { formatNumber, joined } from '../../units/index.ts';
import { Disclosure, SelectField } from '../../widgets/index.ts';
import { ToolSelect } from '../shared/ToolBar.tsx';
import styles from './log.module.css';

interface Props {
  record: LogRecord;
  text: LogSummary;
}

function useAnswer(record: LogRecord) {
  const apply = useApply();
  return (answer: LogHints) =>
    apply(changeLog(record.id, { hints: withHints(record.hints, answer) }, 'change how the log is read'));
}

/** What the reading could not be sure of, each with its choices; the likeliest is taken meanwhile. */
export function LogQuestions({ record, text }: Props) {
  const answer = useAnswer(record);
  if (text.questions.length === 0) return null;
  return (
    <section className={styles.block} aria-labelledby="log-questions">
      <h2 id="log-questions">To be sure</h2>
      {text.questions.map(({ code, column, message, choices, taken, rows }) => (
        <div key={`${code}-${column}`} className={styles.question}>
          <SelectField
            label={message}
            stacked
            value={String(taken)}
            help={rows.length === 0 ? null : `In the file: ${rows.join(' … ')}`}
            options={[
              ...choices.map(({ label }, at) => ({
                key: String(at),
                name: at === taken ? `${label} (taken until you choose)` : label,
              })),
              { key: 'sure', name: `Yes: ${choices[taken]?.label ?? ''}` },
            ]}
            onChange={(key) => {
              const choice = key === 'sure' ? choices[taken] : choices[Number(key)];
              if (choice !== undefined) answer(choice.hints);
            }}
          />
        </div>
      ))}
    </section>
  );
}

const ROLES = (['unused', 'time', ...CHANNEL_KEYS] as const).map((key) => ({ key, name: roleTitle(key) }));
const BASES = [
  { key: 'absolute', name: 'absolute' },
  { key: 'gauge', name: 'gauge' },
] as const;

type LoggedPower = NonNullable<LogHints['power']>;
const AS_MEASURED: LoggedPower = { at: 'crank', correction: 'none' };
const powerKey = ({ at, correction }: LoggedPower) => `${at} ${correction}`;
const POWER_BY_KEY = new Map(
  (['crank', 'wheels'] as const).flatMap((at) =>
    POWER_CORRECTIONS.map((correction) => [powerKey({ at, correction }), { at, correction }] as const),
  ),
);
const POWERS = [...POWER_BY_KEY].map(([key, { at, correction }]) => ({
  key,
  name: `at the ${at === 'crank' ? 'crankshaft' : 'wheels'}, ${POWER_CORRECTION_NAMES[correction]}`,
}));

/** How each column was understood, with two rows of it; everything can be changed. */
export function LogColumns({ record, text }: Props) {
  const used = text.columns.filter(({ role }) => role !== 'unused').length;
  const isDoubtful = text.questions.length > 0 || text.problems.some(({ severity }) => severity === 'stop');
  if (text.columns.length === 0) return null;
  return (
    <Disclosure
      title="Columns, as they were understood"
      summary={`${used} of ${text.columns.length} used, ${formatNumber(text.rowCount, 0)} rows`}
      openAtFirst={isDoubtful}
    >
      <div className={styles.scroll}>
        <table className={styles.table}>
          <thead>
            <tr>
              <th scope="col">Column</th>
              <th scope="col">First row</th>
              <th scope="col">Last row</th>
              <th scope="col">Is</th>
              <th scope="col">In</th>
              <th scope="col">Measured as</th>
              <th scope="col">Why</th>
            </tr>
          </thead>
          <tbody>
            {text.columns.map((column) => (
              <ColumnRow key={column.index} record={record} column={column} />
            ))}
          </tbody>
        </table>
      </div>
    </Disclosure>
  );
}

function ColumnRow({ record, column }: { record: LogRecord; column: LogColumn }) {
  const answer = useAnswer(record);
  const { index, name, role, samples, basis, unit } = column;
  const set = (hint: ColumnHint) => answer({ columns: { [index]: hint } });
  const kind = role === 'unused' ? null : CHANNELS[role].kind;
  const units = useMemo(
    () =>
      kind === null
        ? []
        : LOG_UNITS[kind].map(({ key, label }) => ({ key, name: label === '' ? 'plain number' : label })),
    [kind],
  );
  return (
    <tr data-unused={role === 'unused' || undefined}>
      <th scope="row">{name}</th>
      <td>{samples[0]}</td>
      <td>{samples[1]}</td>
      <td>
        <ToolSelect
          name={`Column ${name} is`}
          value={role}
          options={ROLES}
          onChange={(key) => set({ role: key, unit: undefined, basis: undefined })}
        />
      </td>
      <td>
        {units.length > 1 && (
          <ToolSelect
            name={`Unit of column ${name}`}
            value={unit}
            options={units}
            onChange={(key) => set({ unit: key })}
          />
        )}
        {units.length === 1 && units[0]?.name}
      </td>
      <td>
        {basis !== null && role !== 'ambientPressure' && (
          <ToolSelect
            name={`Pressure of column ${name}`}
            value={basis}
            options={BASES}
            onChange={(key) => set({ basis: key })}
          />
        )}
        {role === 'brakePower' && (
          <ToolSelect
            name={`Power of column ${name}`}
            value={powerKey(record.hints.power ?? AS_MEASURED)}
            options={POWERS}
            onChange={(key) => answer({ power: POWER_BY_KEY.get(key) })}
          />
        )}
      </td>
      <td className={styles.why}>{whyWords(column)}</td>
    </tr>
  );
}

/** 'name 95 %; unit from the file; with the engine off it reads 98.3 kPa (line 2)' */
function whyWords({ role, score, unitFrom, basisFrom, updatePeriodS }: LogColumn): string {
  if (role === 'unused') return '';
  const unit = { file: 'unit from the file', range: 'unit by its range', hint: 'as chosen' }[unitFrom];
  const period = updatePeriodS === null ? '' : `read anew every ${formatNumber(updatePeriodS, 2)} s`;
  return joined([`${formatNumber(100 * score, 0)} % sure`, unit, basisFrom, period], '; ');
}

/** What stood in the way, and what was found in the rows and kept out. */
export function LogReading({ text }: { text: LogSummary }) {
  const found = [
    ...text.problems.map(({ severity, path, message }) => ({
      key: message,
      severity,
      text: path === '' ? message : `${path}: ${message}`,
    })),
    ...text.findings.map(({ message }) => ({ key: message, severity: 'note' as const, text: message })),
  ];
  if (found.length === 0) return null;
  return (
    <ul className={styles.notes} aria-label="Found in the file">
      {found.map(({ key, severity, text: words }) => (
        <li key={key} data-severity={severity === 'warning' ? 'caution' : severity}>
          {words}
        </li>
      ))}
    </ul>
  );
}

interface PartProps {
  part: string;
  title: string;
  summary?: string | undefined;
  children: ReactNode;
}

/** Counts up to `last`, one a task: what is large is begun one after the other, so that none holds up the page. */
export function useSteps(last: number): number {
  const [step, setStep] = useState(0);
  useEffect(() => {
    if (step >= last) return;
    const timer = setTimeout(() => setStep(step + 1), 0);
    return () => clearTimeout(timer);
  }, [step, last]);
  return step;
}

/** Opens or shuts a part of the Log view. */
export function useLogParts(): (part: string, isOpen: boolean) => void {
  const store = useLuglineStore();
  return (part, isOpen) => {
    const others = store.getState().ui.openLogParts.filter((one) => one !== part);
    store.getState().setUi({ openLogParts: isOpen ? [...others, part] : others });
  };
}

/** A part of the Log view that is folded until it is asked for, and stays as it was left. */
export function LogPart({ part, title, summary, children }: PartProps) {
  const isOpen = useLugline(({ ui }) => ui.openLogParts.includes(part));
  const open = useLogParts();
  return (
    <Disclosure
      id={`log-${part}`}
      title={title}
      summary={summary}
      isOpen={isOpen}
      onToggle={(now) => open(part, now)}
      level={2}
    >
      {children}
    </Disclosure>
  );
}
