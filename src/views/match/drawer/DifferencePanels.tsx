import { memo, useEffect, useMemo, useState } from 'react';
import {
  type ComparisonResults,
  selectCandidates,
  selectComparison,
  selectSpool,
  useBuild,
  useBuildField,
  useLugline,
} from '../../../store/index.ts';
import { Sentences } from '../../../widgets/index.ts';
import {
  type CompareUnits,
  type DifferenceRow,
  differenceRows,
  type Summary as SummaryWords,
  summaryWords,
} from '../../shared/comparison.ts';
import { candidateLetter, isEstimated, useResultUnits } from '../../shared/display.ts';
import { FieldsOf } from '../../shared/Field.tsx';
import type { FindingWords } from '../../shared/findingSentences.ts';
import { spoolWords } from '../../shared/spoolUp.ts';
import { EstimateTag, SeveritySign } from '../results/signs.tsx';
import styles from './differences.module.css';

/** As many sentences of a kind can be read at a glance; the table beside them has them all. */
const MOST = 5;

interface Props {
  first: number;
  second: number;
  /** What there is to say about the second candidate, worst first. */
  watch: readonly FindingWords[];
}

/** The differences that matter as a table, and the same in a customer's words. */
export const DifferencePanels = memo(function DifferencePanels({ first, second, watch }: Props) {
  const pair = useMemo(() => [first, second] as const, [first, second]);
  const comparison = useComparison(pair)?.comparison ?? null;
  const names = useNames(first, second);
  const units = useCompareUnits();
  const rows = useMemo(() => comparison && differenceRows(comparison, units), [comparison, units]);
  const summary = useMemo(() => comparison && summaryWords(comparison, names, units), [comparison, names, units]);
  const toWatch = useMemo(() => watch.filter(({ severity }) => severity === 'stop' || severity === 'caution'), [watch]);
  if (rows === null || summary === null) {
    return (
      <p className="soft pad-all">
        One of the two has no operating line yet, so there is nothing to compare. What is missing stands beside its map.
      </p>
    );
  }
  return (
    <div className={styles.differences}>
      <div className="pane scroll-both">
        <DifferenceTable rows={rows} pair={pair} />
        <SpoolPanel pair={pair} />
      </div>
      <Summary summary={summary} watch={toWatch} name={names[1]} most={MOST} />
    </div>
  );
});

/** The numbers that matter, the second candidate held against the first; better and worse by sign and word. */
function DifferenceTable({ rows, pair }: { rows: readonly DifferenceRow[]; pair: readonly [number, number] }) {
  const candidates = useLugline(selectCandidates);
  const isEstimate = pair.map((index) => candidates[index] !== undefined && isEstimated(candidates[index]));
  const [a, b] = [candidateLetter(pair[0]), candidateLetter(pair[1])];
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: it scrolls, and must do so by keyboard too
    <section className={styles.tableBox} aria-label="Differences" tabIndex={0}>
      <table className={styles.table}>
        <caption className="spoken">
          Differences that matter, {b} held against {a}
        </caption>
        <thead>
          <tr>
            <th scope="col">Differences that matter</th>
            <th scope="col" data-estimate={isEstimate[0] || undefined}>
              {a} {isEstimate[0] && <EstimateTag />}
            </th>
            <th scope="col" data-estimate={isEstimate[1] || undefined}>
              {b} {isEstimate[1] && <EstimateTag />}
            </th>
            <th scope="col">
              {b} less {a}
            </th>
            <th scope="col" className={styles.word}>
              {b} is
            </th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <Row key={row.key} row={row} />
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** Draws again only when one of its texts is another one. */
const Row = memo(
  function Row({ row }: { row: DifferenceRow }) {
    const { key, title, a, b, aAt, bAt, difference, verdict, word, note } = row;
    return (
      <tr data-row={key}>
        <th scope="row" title={note}>
          {title}
        </th>
        <td>
          {a}
          <span className={styles.atSpeed}>{aAt}</span>
        </td>
        <td>
          {b}
          <span className={styles.atSpeed}>{bAt}</span>
        </td>
        <td>{difference}</td>
        <td className={styles.word} data-verdict={verdict}>
          <VerdictSign verdict={verdict} />
          <span>{word}</span>
        </td>
      </tr>
    );
  },
  (before, now) => (Object.keys(now.row) as (keyof DifferenceRow)[]).every((key) => before.row[key] === now.row[key]),
);

interface SummaryProps {
  summary: SummaryWords;
  watch: readonly FindingWords[];
  /** The candidate that is held against the other. */
  name: string;
  /** Sentences of each kind at the most; left out: all. */
  most?: number;
}

/** For the customer: what is gained, what it costs, what to watch. */
export function Summary({ summary, watch, name, most = Number.POSITIVE_INFINITY }: SummaryProps) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: it scrolls, and must do so by keyboard too
    <section className={styles.summary} aria-label="In plain words" tabIndex={0}>
      <h2 className={styles.headline}>{summary.headline}</h2>
      <Part
        title="What is gained"
        none="Nothing by these numbers."
        sentences={shortened(summary.gained, most)}
        verdict="better"
      />
      <Part
        title="What it costs"
        none="Nothing by these numbers."
        sentences={shortened(summary.costs, most)}
        verdict="worse"
      />
      <h3 className={styles.partTitle}>What to watch with {name}</h3>
      <ul className={styles.part}>
        {watch.length === 0 && <li>Every limit entered holds.</li>}
        {watch.slice(0, most).map(({ id, severity, word, sentence }) => (
          <li key={id} data-severity={severity}>
            <SeveritySign severity={severity} />
            <span>
              <b>{word}.</b> {sentence}
            </span>
          </li>
        ))}
      </ul>
      <p className={styles.note}>{summary.note}</p>
    </section>
  );
}

/** The first ones, and how many more the table has. */
function shortened(sentences: readonly string[], most: number): readonly string[] {
  if (sentences.length <= most) return sentences;
  return [...sentences.slice(0, most - 1), `${sentences.length - most + 1} more in the table.`];
}

interface PartProps {
  title: string;
  none: string;
  sentences: readonly string[];
  verdict: 'better' | 'worse';
}

const Part = memo(
  function Part({ title, none, sentences, verdict }: PartProps) {
    return (
      <>
        <h3 className={styles.partTitle}>{title}</h3>
        <ul className={styles.part}>
          {sentences.length === 0 && <li>{none}</li>}
          {sentences.map((sentence) => (
            <li key={sentence}>
              <span className={styles.partSign} data-verdict={verdict}>
                <VerdictSign verdict={verdict} />
              </span>
              <span>{sentence}</span>
            </li>
          ))}
        </ul>
      </>
    );
  },
  (before, now) => before.title === now.title && before.sentences.join() === now.sentences.join(),
);

const SHAPES: Readonly<Record<DifferenceRow['verdict'], string>> = {
  // Told apart by outline alone: an arrow up, one down, two bars, a short dash, dots. A triangle is a caution.
  better: 'M6 10.500V1.500M2.300 5.200 6 1.500l3.700 3.700',
  worse: 'M6 1.500v9M2.300 6.800 6 10.500l3.700-3.700',
  same: 'M1.500 4.200h9M1.500 7.800h9',
  unknown: 'M3 6h6',
  pending: 'M2 6h.1M6 6h.1M10 6h.1',
};

/** The sign of a verdict; the word stands beside it. */
function VerdictSign({ verdict }: { verdict: DifferenceRow['verdict'] }) {
  return (
    <svg viewBox="0 0 12 12" width="0.9em" height="0.9em" aria-hidden="true">
      <path
        d={SHAPES[verdict]}
        fill="none"
        stroke="currentColor"
        strokeWidth="1.6"
        strokeLinecap="round"
        strokeLinejoin="round"
      />
    </svg>
  );
}

/** Ceilings take longer than a frame: they wait until the inputs have rested this long. */
export const REST_MS = 350;

/** The comparison of two candidates; with the ceilings of the day once the inputs rest. */
export function useComparison([first, second]: readonly [number, number]): ComparisonResults | null {
  const build = useBuild();
  const [rested, setRested] = useState<unknown>(null);
  useEffect(() => {
    const timer = setTimeout(() => setRested(build), REST_MS);
    return () => clearTimeout(timer);
  }, [build]);
  const withCeilings = rested === build;
  return useLugline((state) => selectComparison(state, first, second, withCeilings));
}

/** The units of the comparison; the same object while the choice is the same. */
export function useCompareUnits(): CompareUnits {
  const results = useResultUnits();
  const altitude = useBuildField('air.altitude').unit;
  return useMemo(() => ({ results, altitude }), [results, altitude]);
}

/** How two candidates are called in sentences; the same pair while the names are the same. */
export function useNames(first: number, second: number): readonly [string, string] {
  const a = useName(first);
  const b = useName(second);
  return useMemo(() => [a, b], [a, b]);
}

function useName(index: number): string {
  return useLugline((state) => selectCandidates(state)[index]?.name.trim() || `Candidate ${candidateLetter(index)}`);
}

/** Which of the two spools up sooner, as an estimate, and what is asked for it. */
export const SpoolPanel = memo(function SpoolPanel({ pair }: { pair: readonly [number, number] }) {
  const first = useLugline((state) => selectSpool(state, pair[0]));
  const second = useLugline((state) => selectSpool(state, pair[1]));
  const units = useResultUnits();
  const words = useMemo(() => spoolWords(pair, [first, second], units), [pair, first, second, units]);
  return (
    <section className={styles.spool} aria-label="Spool-up">
      <div>
        <p className={styles.headline} role="status">
          {words.headline}
        </p>
        <Sentences as="p" of={words.lines} />
        <p className={styles.note}>{words.note}</p>
      </div>
      <div className={styles.spoolFields}>
        <FieldsOf group="spool" />
      </div>
    </section>
  );
});
