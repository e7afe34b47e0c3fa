import { memo, useMemo } from 'react';
import { changeSettings } from '../../../build/index.ts';
import {
  type CandidateResults,
  selectCandidates,
  useApply,
  useCandidateResults,
  useLugline,
} from '../../../store/index.ts';
import { candidateLetter } from '../../shared/candidateLetter.ts';
import { isEstimated } from '../../shared/estimateWords.ts';
import { headline } from '../../shared/headline.ts';
import { useResultUnits } from '../../shared/useResultUnits.ts';
import { verdict } from '../model/verdict.ts';
import { LineSign } from '../results/LineSign.tsx';
import { SeveritySign } from '../results/SeveritySign.tsx';
import styles from './counter.module.css';

interface Props {
  shown: number;
  pair: readonly [number, number] | null;
}

/** The candidates as large cards; pressing one shows its map. The pair that is compared stays, whichever of the two is shown. */
export function CounterCandidates({ shown, pair }: Props) {
  const apply = useApply();
  const count = useLugline((state) => selectCandidates(state).length);
  const indices = pair ?? [shown];
  const others = Array.from({ length: count }, (_, index) => index).filter((index) => !indices.includes(index));
  const show = (index: number) => {
    const [first, second] = pair ?? [index, index];
    const other = index === first ? second : first;
    apply(
      changeSettings(pair === null ? { shownCandidate: index } : { shownCandidate: index, comparedCandidate: other }),
    );
  };
  return (
    <section className={styles.candidates} aria-label="Candidates">
      {[...indices]
        .sort((a, b) => a - b)
        .map((index) => (
          <Candidate
            key={index}
            index={index}
            style={pair !== null && index === pair[1] ? 'b' : 'a'}
            isShown={index === shown}
            onShow={show}
          />
        ))}
      {others.length > 0 && (
        <p className={styles.others}>
          {others.map((index) => (
            <OtherCandidate key={index} index={index} onShow={show} />
          ))}
        </p>
      )}
    </section>
  );
}

interface CandidateProps {
  index: number;
  style: 'a' | 'b';
  isShown: boolean;
  onShow: (index: number) => void;
}

function Candidate(props: CandidateProps) {
  const results = useCandidateResults(props.index);
  return results && <CandidateFace {...props} results={results} />;
}

const CandidateFace = memo(
  function CandidateFace({ index, style, isShown, onShow, results }: CandidateProps & { results: CandidateResults }) {
    const units = useResultUnits();
    const { candidate, points, findings, problems } = results;
    const said = useMemo(() => verdict(findings), [findings]);
    const numbers = useMemo(() => headline(points, units), [points, units]);
    return (
      <button type="button" className={styles.candidate} aria-pressed={isShown} onClick={() => onShow(index)}>
        <span className={styles.candidateName}>
          <LineSign style={style} />
          <b>{candidateLetter(index)}</b>
          <span className={styles.title}>{candidate.name}</span>
          {isEstimated(candidate) && <span className={styles.estimate}>estimate</span>}
          {said !== null && (
            <span className={styles.verdict} data-severity={said.severity}>
              <SeveritySign severity={said.severity} className={styles.verdictSign} />
              {said.words}
            </span>
          )}
        </span>
        {results.input === null ? (
          <span className={styles.hint}>{problems[0]?.message}</span>
        ) : (
          <span className={styles.figures}>
            {numbers.map(({ key, shortTitle, value, detail }) => (
              <span key={key} className={styles.figure}>
                <span className={styles.figureTitle}>{shortTitle}</span>
                <b>{value}</b>
                <span className={styles.figureTitle}>{detail}</span>
              </span>
            ))}
          </span>
        )}
      </button>
    );
  },
  (before, now) =>
    before.results === now.results &&
    before.style === now.style &&
    before.isShown === now.isShown &&
    before.index === now.index,
);

/** One that is kept in the build but not compared just now. */
function OtherCandidate({ index, onShow }: { index: number; onShow: (index: number) => void }) {
  const name = useLugline((state) => selectCandidates(state)[index]?.name ?? '');
  return (
    <button type="button" className={styles.button} onClick={() => onShow(index)}>
      {candidateLetter(index)} {name}
    </button>
  );
}
