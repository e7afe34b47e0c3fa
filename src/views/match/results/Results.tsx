import { Suspense, useCallback, useEffect, useMemo, useState } from 'react';
import {
  type CandidateResults,
  pointAt,
  selectCandidates,
  selectShownCandidate,
  useCandidateResults,
  useLugline,
  useLuglineStore,
} from '../../../store/index.ts';
import { candidateLetter } from '../../shared/candidateLetter.ts';
import { CAUTIONS } from '../../shared/cautions.ts';
import { type FindingWords, findingWords } from '../../shared/findingWords.ts';
import { operatingLine } from '../../shared/operatingLine.ts';
import { speedWithin } from '../../shared/speedWithin.ts';
import { useResultUnits } from '../../shared/useResultUnits.ts';
import { ComparePanels } from '../lateParts.tsx';
import { TurbineSection } from '../lateTurbine.tsx';
import styles from '../match.module.css';
import { problemWords } from '../model/problemWords.ts';
import { CandidateStrip } from './CandidateStrip.tsx';
import { FindingsPanel } from './FindingsPanel.tsx';
import { MapPanel } from './MapPanel.tsx';
import { PointsPanel } from './PointsPanel.tsx';
import { ViewBar } from './ViewBar.tsx';

/** One candidate with its map, findings and points; or two held against each other. */
export function Results() {
  const below = useLugline((state) => state.ui.matchBelow);
  const isComparing = useLugline((state) => state.ui.matchLayout !== 'one' && selectCandidates(state).length > 1);
  return (
    <div className={styles.results} data-comparing={isComparing || undefined} data-below={below}>
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
  // Pointed at on a chart of the turbine: the map shows the same engine speed.
  const [chartRpm, setChartRpm] = useState<number | null>(null);
  const below = useLugline((state) => state.ui.matchBelow);
  const { problems, findings } = results;
  const words = useMemo(
    () => (problems.length > 0 ? problemWords(problems) : findingWords(findings, units)),
    [problems, findings, units],
  );
  const engineSpeedRpm = speedWithin(results.points, chosen.engineSpeedRpm);
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
  const chooseSpeed = useCallback((rpm: number) => setChosen({ engineSpeedRpm: rpm, findingId: null }), []);
  return (
    <>
      <MapPanel
        results={results}
        index={index}
        findings={words}
        chosenFindingId={chosen.findingId}
        chosenRpm={engineSpeedRpm}
        pointedRpm={chartRpm}
        onChooseFinding={chooseFinding}
        onChooseSpeed={chooseSpeed}
        onHoverSpeed={setHoveredRpm}
      />
      <FindingsPanel findings={words} chosenId={chosen.findingId} onChoose={chooseFinding} />
      {below === 'turbine' ? (
        <div className={styles.points}>
          <Suspense fallback={null}>
            <TurbineBelow
              results={results}
              index={index}
              engineSpeedRpm={hoveredRpm ?? chartRpm ?? engineSpeedRpm}
              onHoverSpeed={setChartRpm}
              onChooseSpeed={chooseSpeed}
            />
          </Suspense>
        </div>
      ) : (
        <PointsPanel
          results={results}
          index={index}
          selectedRpm={hoveredRpm ?? engineSpeedRpm}
          chosenRpm={engineSpeedRpm}
          onSelect={chooseSpeed}
        />
      )}
    </>
  );
}

interface BelowProps {
  results: CandidateResults;
  index: number;
  engineSpeedRpm: number | null;
  onHoverSpeed: (engineSpeedRpm: number | null) => void;
  onChooseSpeed: (engineSpeedRpm: number) => void;
}

/** The charts of the turbine of one candidate. */
function TurbineBelow({ results, index, engineSpeedRpm, onHoverSpeed, onChooseSpeed }: BelowProps) {
  const { candidate, points, findings, input } = results;
  const style = index % 2 === 0 ? 'a' : 'b';
  const line = useMemo(
    () => (points.length === 0 ? null : operatingLine(candidate.id, candidate.name, style, points, findings, input)),
    [candidate.id, candidate.name, style, points, findings, input],
  );
  const point = useMemo(() => {
    if (engineSpeedRpm === null || input === null) return null;
    return points.find((one) => one.engineSpeedRpm === engineSpeedRpm) ?? pointAt(input, engineSpeedRpm);
  }, [points, input, engineSpeedRpm]);
  const side = { index, letter: candidateLetter(index), style, results, line, point } as const;
  return (
    <TurbineSection
      first={side}
      second={null}
      engineSpeedRpm={engineSpeedRpm}
      onHoverSpeed={onHoverSpeed}
      onChooseSpeed={onChooseSpeed}
    />
  );
}
