import { memo, Suspense, useCallback, useEffect, useMemo, useState } from 'react';
import { addCandidate, changeSettings, MOST_CANDIDATES } from '../../../build/index.ts';
import {
  type CandidateResults,
  createId,
  pointAt,
  selectCandidates,
  selectShownCandidate,
  type UiState,
  useActions,
  useApply,
  useCandidateResults,
  useLugline,
  useLuglineStore,
  useSettings,
} from '../../../store/index.ts';
import { Button, ChoiceRow } from '../../../widgets/index.ts';
import { problemWords } from '../../shared/candidateSummary.ts';
import { useResultUnits } from '../../shared/display.ts';
import { type FindingWords, findingWords } from '../../shared/findingWords.ts';
import { operatingLine, speedWithin } from '../../shared/mapDrawing.ts';
import { CAUTIONS, candidateLetter, comparedPair } from '../../shared/provenance.ts';
import { ComparePanels, TurbineSection } from '../lateParts.ts';
import styles from '../match.module.css';
import { CandidateStrip } from './CandidateStrip.tsx';
import { FindingsPanel } from './Findings.tsx';
import { MapPanel } from './MapPanel.tsx';
import { PointsPanel } from './PointsPanel.tsx';

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

const LAYOUTS: readonly { key: UiState['matchLayout']; name: string }[] = [
  { key: 'one', name: 'One map' },
  { key: 'side-by-side', name: 'Side by side' },
  { key: 'overlay', name: 'Overlay' },
];

const BELOW: readonly { key: UiState['matchBelow']; name: string }[] = [
  { key: 'numbers', name: 'Numbers' },
  { key: 'turbine', name: 'Turbine' },
];

/** How the candidates are looked at. Stands in the same place whatever is chosen. */
export const ViewBar = memo(function ViewBar() {
  const { setUi } = useActions();
  const apply = useApply();
  const layout = useLugline((state) => state.ui.matchLayout);
  const below = useLugline((state) => state.ui.matchBelow);
  const count = useLugline((state) => selectCandidates(state).length);
  const add = () => {
    apply(addCandidate(createId()));
    apply(changeSettings({ shownCandidate: count }));
  };
  return (
    <div className={styles.viewBar}>
      <ChoiceRow
        label="How the candidates are shown"
        hideLabel
        value={count < 2 ? 'one' : layout}
        options={LAYOUTS.map((option) => ({ ...option, isDisabled: count < 2 && option.key !== 'one' }))}
        onChange={(matchLayout) => setUi({ matchLayout })}
      />
      <ChoiceRow
        label="What stands below the map"
        hideLabel
        value={below}
        options={BELOW}
        onChange={(matchBelow) => setUi({ matchBelow })}
      />
      <SwapButton count={count} isComparing={count > 1 && layout !== 'one'} />
      <span className={styles.spring} />
      {count < MOST_CANDIDATES && (
        <Button variant="quiet" icon="plus" onPress={add}>
          <span className={styles.longWords}>Add a candidate</span>
        </Button>
      )}
      <Button icon="whole" onPress={() => setUi({ isCounter: true })}>
        Counter mode
      </Button>
    </div>
  );
});

function SwapButton({ count, isComparing }: { count: number; isComparing: boolean }) {
  const apply = useApply();
  const pair = comparedPair(useSettings(), count);
  if (!isComparing || pair === null) return null;
  return (
    <Button
      variant="quiet"
      label="Swap the two candidates"
      onPress={() => apply(changeSettings({ shownCandidate: pair[1], comparedCandidate: pair[0] }))}
    >
      Swap
    </Button>
  );
}
