import { Suspense, useCallback, useEffect, useMemo, useState } from 'react';
import {
  type CandidateResults,
  selectCandidates,
  selectShownCandidate,
  useCandidateResults,
  useLugline,
  useLuglineStore,
} from '../../../store/index.ts';
import { CAUTIONS } from '../../shared/cautions.ts';
import { type FindingWords, findingWords } from '../../shared/findingWords.ts';
import { useResultUnits } from '../../shared/useResultUnits.ts';
import { ComparePanels } from '../lateParts.tsx';
import styles from '../match.module.css';
import { problemWords } from '../model/problemWords.ts';
import { CandidateStrip } from './CandidateStrip.tsx';
import { FindingsPanel } from './FindingsPanel.tsx';
import { MapPanel } from './MapPanel.tsx';
import { PointsPanel } from './PointsPanel.tsx';
import { ViewBar } from './ViewBar.tsx';

/** One candidate with its map, findings and points; or two held against each other. */
export function Results() {
  const isComparing = useLugline((state) => state.ui.matchLayout !== 'one' && selectCandidates(state).length > 1);
  return (
    <div className={styles.results} data-comparing={isComparing || undefined}>
      <ViewBar />
      {isComparing ? (
        <Suspense fallback={<div className={styles.comparePending} />}>
          <ComparePanels />
        </Suspense>
      ) : (
        <OneCandidate />
      )}
      <p className={styles.cautions}>{CAUTIONS}</p>
    </div>
  );
}

/** Candidates on top, the map of the chosen one with its findings beside it, all its points below. */
function OneCandidate() {
  const shown = useLugline(selectShownCandidate);
  return (
    <>
      <div className={styles.candidates}>
        <CandidateStrip />
      </div>
      {shown === null ? (
        <p className={styles.nothing}>This build has no candidate. Add one to see its map and its findings.</p>
      ) : (
        <ShownCandidate key={shown} index={shown} />
      )}
    </>
  );
}

function ShownCandidate({ index }: { index: number }) {
  const results = useCandidateResults(index);
  return results && <CandidatePanels results={results} index={index} />;
}

/** What the person looks at: an engine speed of the line, and a finding that points at one. */
interface Chosen {
  engineSpeedRpm: number | null;
  findingId: string | null;
}

function CandidatePanels({ results, index }: { results: CandidateResults; index: number }) {
  const units = useResultUnits();
  const store = useLuglineStore();
  const [chosen, setChosen] = useState<Chosen>(() => ({
    // The read-out starts where the other views point, or else where the worst finding is, and stays there while inputs change: it must
    // not jump about.
    engineSpeedRpm:
      store.getState().ui.pointerEngineSpeedRpm ??
      results.findings.find((finding) => finding.engineSpeedRpm !== undefined)?.engineSpeedRpm ??
      null,
    findingId: null,
  }));
  const [hoveredRpm, setHoveredRpm] = useState<number | null>(null);
  const { problems, findings } = results;
  const words = useMemo(
    () => (problems.length > 0 ? problemWords(problems) : findingWords(findings, units)),
    [problems, findings, units],
  );
  const { engineSpeedRpm } = chosen;
  // What is chosen here is what the charts over altitude point at.
  useEffect(() => {
    if (engineSpeedRpm !== null) store.getState().setUi({ pointerEngineSpeedRpm: engineSpeedRpm });
  }, [store, engineSpeedRpm]);
  const chooseFinding = useCallback((finding: FindingWords | null) => {
    setChosen((before) => ({
      engineSpeedRpm: finding?.engineSpeedRpm ?? before.engineSpeedRpm,
      findingId: finding?.id ?? null,
    }));
  }, []);
  const chooseSpeed = useCallback((engineSpeedRpm: number) => setChosen({ engineSpeedRpm, findingId: null }), []);
  return (
    <>
      <MapPanel
        results={results}
        index={index}
        findings={words}
        chosenFindingId={chosen.findingId}
        chosenRpm={chosen.engineSpeedRpm}
        onChooseFinding={chooseFinding}
        onChooseSpeed={chooseSpeed}
        onHoverSpeed={setHoveredRpm}
      />
      <FindingsPanel findings={words} chosenId={chosen.findingId} onChoose={chooseFinding} />
      <PointsPanel
        results={results}
        index={index}
        selectedRpm={hoveredRpm ?? chosen.engineSpeedRpm}
        chosenRpm={chosen.engineSpeedRpm}
        onSelect={chooseSpeed}
      />
    </>
  );
}
