import { memo } from 'react';
import { changeSettings } from '../../build/index.ts';
import {
  type AltitudeStudy,
  type CandidateStudy,
  isSameStudy,
  selectActiveBuild,
  selectCandidates,
  selectShownCandidate,
  useActions,
  useApply,
  useBuild,
  useCandidateResults,
  useLugline,
} from '../../store/index.ts';
import { ChoiceRow, Sentences } from '../../widgets/index.ts';
import { CAUTIONS, candidateLetter, isEstimated } from '../shared/display.ts';
import styles from './altitude.module.css';
import { CalibrationSection } from './CalibrationSection.tsx';
import { CeilingsPanel, FieldPanel, ReadOutStrip } from './CeilingPanels.tsx';
import { ControllersPanel, HeldPanel, MapPanel, ShaftPanel } from './HeldGoalPanels.tsx';
import { SpreadSection } from './SpreadSection.tsx';
import { AltitudeSidebar, TableSidebar } from './sidebar/AltitudeSidebar.tsx';
import { StudyWords, TablePlace, TableState } from './TablePlace.tsx';

/** Inputs of the study on the left; ceilings, what binds, the tuner's table and how sure it all is on the right. */
export function AltitudeView() {
  const buildId = useLugline((state) => state.workspace.activeBuildId);
  const isTable = useLugline((state) => state.ui.altitudePlace === 'table');
  return (
    <div className="sidebar-view">
      {isTable ? <TableSidebar key={`table-${buildId}`} /> : <AltitudeSidebar key={`inputs-${buildId}`} />}
      <div className={styles.results}>
        <div className={styles.top}>
          <PlaceRow />
          <CandidateRow />
          {isTable ? <TableState /> : <StudyState />}
        </div>
        {isTable ? <TablePlace key={buildId} /> : <Study key={buildId} />}
        <p className={styles.cautions}>{CAUTIONS}</p>
      </div>
    </div>
  );
}

/** The two places of the view: what altitude does to the goal, and the table that the control unit gets. */
function PlaceRow() {
  const place = useLugline((state) => state.ui.altitudePlace);
  const { setUi } = useActions();
  return (
    <ChoiceRow
      label="Show"
      hideLabel
      value={place}
      options={[
        { key: 'study', name: 'Over altitude' },
        { key: 'table', name: 'Control unit table' },
      ]}
      onChange={(altitudePlace) => setUi({ altitudePlace })}
    />
  );
}

/** Whether what is shown belongs to the present inputs. Its room is always there: nothing jumps when it speaks. */
const StudyState = memo(function StudyState() {
  const slot = useLugline((state) => state.studies.altitude);
  const isCurrent = useLugline(
    (state) =>
      state.studies.altitude.result !== null &&
      isSameStudy('altitude', state.studies.altitude.result.build, selectActiveBuild(state)),
  );
  const words =
    slot.problem ??
    (isCurrent
      ? 'Up to date with the inputs.'
      : slot.result === null
        ? 'Computing …'
        : 'Computing; shown is the state before the last change.');
  return <StudyWords words={words} isCurrent={isCurrent} isProblem={slot.problem !== null} />;
});

function Study() {
  const shown = useShownStudy();
  if (shown === null) return <div className={styles.nothing} />;
  if (shown.study === null) {
    return (
      <div className={styles.nothing}>
        <p>There is nothing to study yet:</p>
        <Sentences as="ul" of={shown.problems} />
      </div>
    );
  }
  return <CandidateSections result={shown.result} study={shown.study} index={shown.index} isStale={shown.isStale} />;
}

interface ShownStudy {
  result: AltitudeStudy;
  index: number;
  /** null: see `problems`. */
  study: CandidateStudy | null;
  problems: readonly string[];
  isStale: boolean;
}

/** The newest study of the open build and the candidate that is shown; null while there is none. */
function useShownStudy(): ShownStudy | null {
  const build = useBuild();
  const index = useLugline(selectShownCandidate);
  const result = useLugline((state) => state.studies.altitude.result);
  const candidate = useCandidateResults(index ?? 0);
  if (result === null || result.build.id !== build.id) return null;
  const isStale = !isSameStudy('altitude', result.build, build);
  if (index === null) {
    return {
      result,
      index: 0,
      study: null,
      problems: ['The build has no candidate. Add one in the Match view.'],
      isStale,
    };
  }
  const study = result.candidates[index] ?? null;
  const problems = candidate?.problems.map(({ message }) => message) ?? [];
  return { result, index, study, problems, isStale };
}

/** Which candidate's ceilings are shown; the same choice as in the Match view. */
function CandidateRow() {
  const apply = useApply();
  const candidates = useLugline(selectCandidates);
  const shown = useLugline(selectShownCandidate);
  if (shown === null) return null;
  const options = candidates.map((candidate, index) => ({
    key: String(index),
    name: `${candidateLetter(index)}: ${candidate.name}${isEstimated(candidate) ? ' (estimate)' : ''}`,
  }));
  return (
    <ChoiceRow
      label="Candidate"
      hideLabel
      value={String(shown)}
      options={options}
      onChange={(key) => apply(changeSettings({ shownCandidate: Number(key) }))}
    />
  );
}

interface Props {
  result: AltitudeStudy;
  study: CandidateStudy;
  index: number;
  isStale: boolean;
}

/** Everything of one candidate, from one state of the inputs: charts, words and table cannot show different ones. */
const CandidateSections = memo(function CandidateSections({ result, study, index, isStale }: Props) {
  const { build } = result;
  return (
    <div className={styles.sections} data-stale={isStale || undefined}>
      <HeldPanel result={result} />
      <ReadOutStrip build={build} study={study} index={index} />
      <div className={styles.pair}>
        <CeilingsPanel build={build} study={study} index={index} />
        <FieldPanel build={build} study={study} index={index} />
      </div>
      <div className={styles.pair}>
        <ShaftPanel result={result} />
        <MapPanel build={build} study={study} index={index} />
      </div>
      <ControllersPanel build={build} study={study} index={index} />
      <CalibrationSection result={result} study={study} index={index} isStale={isStale} />
      <SpreadSection index={index} />
    </div>
  );
});
