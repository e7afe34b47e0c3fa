import { useMemo } from 'react';
import { changeSettings } from '../../../build/index.ts';
import { selectCandidates, useActions, useApply, useCandidateResults, useLugline } from '../../../store/index.ts';
import { Button } from '../../../widgets/index.ts';
import { candidateLetter } from '../../shared/candidateLetter.ts';
import { isEstimated, mapTitle } from '../../shared/estimateWords.ts';
import { ToolSelect } from '../../shared/ToolSelect.tsx';
import { verdict } from '../model/verdict.ts';
import { EstimateTag } from '../results/EstimateTag.tsx';
import { LineSign } from '../results/LineSign.tsx';
import styles from './compare.module.css';

interface Props {
  index: number;
  /** The candidate on the other side. */
  other: number;
  style: 'a' | 'b';
  place: 'first' | 'second';
}

/** Which candidate stands here, how its line is drawn, and how it does. Any of them can be chosen; the other side's changes places with it. */
export function CandidateHeading({ index, other, style, place }: Props) {
  const apply = useApply();
  const { setUi } = useActions();
  const candidates = useLugline(selectCandidates);
  const results = useCandidateResults(index);
  const candidate = candidates[index];
  const findings = results?.findings;
  const said = useMemo(() => (findings === undefined ? null : verdict(findings)), [findings]);
  if (candidate === undefined) return null;
  const choose = (chosen: number) => {
    const [mine, theirs] = chosen === other ? [other, index] : [chosen, other];
    const [shownCandidate, comparedCandidate] = place === 'first' ? [mine, theirs] : [theirs, mine];
    apply(changeSettings({ shownCandidate, comparedCandidate }));
  };
  const options = candidates.map(({ name }, at) => ({
    key: String(at),
    name: `${candidateLetter(at)}  ${name.trim() || 'Candidate without a name'}`,
  }));
  const title = mapTitle(candidate);
  return (
    <div className={styles.heading}>
      <LineSign style={style} />
      <ToolSelect
        name={place === 'first' ? 'First candidate' : 'Second candidate'}
        value={String(index)}
        options={options}
        onChange={(key) => choose(Number(key))}
      />
      {isEstimated(candidate) && <EstimateTag />}
      <span className={styles.mapName} title={title}>
        {title === candidate.name ? '' : title}
      </span>
      <span className={styles.verdict} data-severity={said?.severity}>
        {said?.words}
      </span>
      <Button
        variant="quiet"
        label={`Card of candidate ${candidateLetter(index)}`}
        onPress={() => setUi({ openCardId: candidate.id })}
      >
        Card
      </Button>
    </div>
  );
}
