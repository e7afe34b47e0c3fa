import { memo, useCallback } from 'react';
import { addCandidate, changeSettings, MOST_CANDIDATES } from '../../../build/index.ts';
import { type OperatingPoint, PLACES, shortTitle, showPoint } from '../../../match/index.ts';
import { candidateStyle } from '../../../plot/index.ts';
import { createId, selectCandidates, useActions, useApply, useLugline } from '../../../store/index.ts';
import { counted } from '../../../units/index.ts';
import { Button, Disclosure, IconButton } from '../../../widgets/index.ts';
import { candidateLetter, isEstimated, useResultUnits } from '../../shared/display.ts';
import type { FindingWords } from '../../shared/findingSentences.ts';
import viewStyles from '../match.module.css';
import type { Side } from '../model/side.ts';
import styles from './candidates.module.css';
import { EstimateTag, LineSign, SeveritySign } from './signs.tsx';

/** A candidate's finding that is pointed at. */
export interface ChosenFinding {
  index: number;
  findingId: string;
}

interface Props {
  sides: readonly Side[];
  shown: number;
  chosen: ChosenFinding | null;
  onShow: (index: number) => void;
  onFinding: (index: number, finding: FindingWords) => void;
}

/** The candidates that are held against each other, and the others that the build keeps. */
export function Candidates({ sides, shown, chosen, onShow, onFinding }: Props) {
  return (
    <section className={viewStyles.candidates} aria-label="Candidates">
      {sides.map(({ index, letter, words, point, results: { candidate } }) => (
        <section key={index} className={styles.candidate} aria-label={`Candidate ${letter}`}>
          <CandidateName index={index} isShown={index === shown} onShow={onShow} />
          <OpenCard letter={letter} candidateId={candidate.id} />
          <CandidateNumbers point={point} />
          <Findings
            index={index}
            words={words}
            chosenId={chosen?.index === index ? chosen.findingId : null}
            onFinding={onFinding}
          />
        </section>
      ))}
      <Others indices={sides.map(({ index }) => index)} onShow={onShow} />
    </section>
  );
}

interface NameProps {
  index: number;
  isShown: boolean;
  onShow: (index: number) => void;
}

/** Which candidate it is, its hue, dash and marker; pressed, it is shown on the map. */
export const CandidateName = memo(function CandidateName({ index, isShown, onShow }: NameProps) {
  const candidate = useLugline((state) => selectCandidates(state)[index]);
  if (candidate === undefined) return null;
  return (
    <button type="button" className={styles.choose} aria-pressed={isShown} onClick={() => onShow(index)}>
      <LineSign style={candidateStyle(index)} />
      <b>{candidateLetter(index)}</b>
      <span className="breaks grow firm narrow">{candidate.name.trim() || 'Candidate without a name'}</span>
      {isEstimated(candidate) && <EstimateTag />}
    </button>
  );
});

/** Four numbers at the engine speed that is looked at; in their place, why there is no point. */
export function CandidateNumbers({ point }: { point: OperatingPoint | null }) {
  const units = useResultUnits();
  const solved = point?.status === 'ok' ? point : null;
  return (
    <dl className={styles.numbers}>
      {PLACES.candidateReadOut.map((key) => (
        <NumberAt key={key} title={shortTitle(key, units)} value={showPoint(key, solved, units)} />
      ))}
    </dl>
  );
}

const NumberAt = memo(function NumberAt({ title, value }: { title: string; value: string }) {
  return (
    <div>
      <dt>{title}</dt>
      <dd>{value}</dd>
    </div>
  );
});

/** Opens the card of measurements. */
const OpenCard = memo(function OpenCard({ letter, candidateId }: { letter: string; candidateId: string }) {
  const { setUi } = useActions();
  return (
    <span className={styles.openCard}>
      <IconButton
        icon="table"
        label={`Card of candidate ${letter}: measurements, donor map, claim`}
        onPress={() => setUi({ openCardId: candidateId })}
      />
    </span>
  );
});

interface FindingsProps {
  index: number;
  words: readonly FindingWords[];
  chosenId: string | null;
  onFinding: (index: number, finding: FindingWords) => void;
}

/** Stops and cautions in plain words, worst first; what is only worth knowing is folded. */
function Findings({ index, words, ...rest }: FindingsProps) {
  const isGrave = ({ severity, word }: FindingWords) =>
    severity === 'stop' || severity === 'caution' || word === 'Missing';
  const [grave, notes] = [words.filter(isGrave), words.filter((one) => !isGrave(one))];
  const letter = candidateLetter(index);
  return (
    <>
      <FindingList index={index} words={grave} label={`Findings of ${letter}, worst first`} {...rest} />
      {notes.length > 0 && (
        <Disclosure title={`${counted(notes.length, 'note')} on ${letter}`} level={3}>
          <FindingList index={index} words={notes} label={`Notes on ${letter}`} {...rest} />
        </Disclosure>
      )}
    </>
  );
}

function FindingList({ index, words, label, chosenId, onFinding }: FindingsProps & { label: string }) {
  return (
    <ol className={styles.findings} aria-label={label}>
      {words.map((finding) => (
        <FindingLine key={finding.id} {...{ index, finding, onFinding }} isChosen={finding.id === chosenId} />
      ))}
    </ol>
  );
}

interface LineProps {
  index: number;
  finding: FindingWords;
  isChosen: boolean;
  onFinding: (index: number, finding: FindingWords) => void;
}

/** A button that points at its place on the map and on the scrubber; pressed again, the mark goes away. */
const FindingLine = memo(
  function FindingLine({ index, finding, isChosen, onFinding }: LineProps) {
    const { severity, word, sentence } = finding;
    return (
      <li>
        <button
          type="button"
          className={styles.finding}
          data-severity={severity}
          aria-pressed={isChosen}
          onClick={() => onFinding(index, finding)}
        >
          <SeveritySign severity={severity} />
          <span>
            <b>{word}</b> {sentence}
          </span>
        </button>
      </li>
    );
  },
  (before, now) =>
    before.isChosen === now.isChosen &&
    before.index === now.index &&
    before.onFinding === now.onFinding &&
    before.finding.id === now.finding.id &&
    before.finding.engineSpeedRpm === now.finding.engineSpeedRpm &&
    before.finding.sentence === now.finding.sentence,
);

/** Those that are kept in the build but not compared just now, and one more. */
const Others = memo(
  function Others({ indices, onShow }: { indices: readonly number[]; onShow: (index: number) => void }) {
    const apply = useApply();
    const count = useLugline((state) => selectCandidates(state).length);
    const others = Array.from({ length: count }, (_, index) => index).filter((index) => !indices.includes(index));
    const add = () => {
      apply(addCandidate(createId()));
      apply(changeSettings({ shownCandidate: count }));
    };
    return (
      <div className="column gap-s from-top pad-bar">
        {others.map((index) => (
          <CandidateName key={index} index={index} isShown={false} onShow={onShow} />
        ))}
        {count < MOST_CANDIDATES && (
          <Button variant="quiet" icon="plus" onPress={add}>
            Add a candidate
          </Button>
        )}
      </div>
    );
  },
  (before, now) => before.onShow === now.onShow && before.indices.join() === now.indices.join(),
);

/** Shows a candidate on the map. The one shown until now stays beside it: of two, those two stay. */
export function useShow(shown: number): (index: number) => void {
  const apply = useApply();
  return useCallback(
    (index) => apply(changeSettings({ shownCandidate: index, ...(index !== shown && { comparedCandidate: shown }) })),
    [apply, shown],
  );
}
