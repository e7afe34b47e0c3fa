import { useCallback, useEffect, useMemo, useState } from 'react';
import { changeSettings } from '../../../build/index.ts';
import {
  type CandidateResults,
  selectCandidates,
  useActions,
  useApply,
  useCandidateResults,
  useLugline,
  useLuglineStore,
  useSettings,
} from '../../../store/index.ts';
import { Button } from '../../../widgets/index.ts';
import { problemWords, verdict } from '../../shared/candidateSummary.ts';
import { useResultUnits } from '../../shared/display.ts';
import { findingWords } from '../../shared/findingWords.ts';
import { speedWithin } from '../../shared/mapDrawing.ts';
import { candidateLetter, comparedPair, isEstimated, mapTitle } from '../../shared/provenance.ts';
import { ToolSelect } from '../../shared/ToolBar.tsx';
import { EstimateTag, LineSign } from '../results/CandidateStrip.tsx';
import { SpeedWalk } from '../results/ReadOut.tsx';
import { TurbineSection } from '../turbineCharts/TurbineSection.tsx';
import { type ComparedMap, MapKey, OverlayMap, SideMap, useComparedMap, useSharedAxes } from './ComparedMaps.tsx';
import styles from './compare.module.css';
import { DifferencePanels, useNames } from './DifferencePanels.tsx';
import { ReadBoth } from './ReadBoth.tsx';

/** Two candidates on one engine, one air and one goal: their maps, what both do at an engine speed, and what is different. */
export function ComparePanels() {
  const count = useLugline((state) => selectCandidates(state).length);
  const pair = comparedPair(useSettings(), count);
  return pair && <ChosenPair key={pair.join()} first={pair[0]} second={pair[1]} />;
}

function ChosenPair({ first, second }: { first: number; second: number }) {
  const a = useCandidateResults(first);
  const b = useCandidateResults(second);
  return a && b && <Panels a={a} b={b} pair={[first, second]} />;
}

/** Where reading begins: at the worst that there is to say about either. */
function startingSpeed(a: CandidateResults, b: CandidateResults): number | null {
  const worst = [...b.findings, ...a.findings].find((finding) => finding.engineSpeedRpm !== undefined);
  return worst?.engineSpeedRpm ?? a.points.at(-1)?.engineSpeedRpm ?? null;
}

function Panels({ a, b, pair }: { a: CandidateResults; b: CandidateResults; pair: readonly [number, number] }) {
  const layout = useLugline((state) => state.ui.matchLayout);
  const below = useLugline((state) => state.ui.matchBelow);
  const store = useLuglineStore();
  const [lastChosenRpm, setChosenRpm] = useState(
    () => store.getState().ui.pointerEngineSpeedRpm ?? startingSpeed(a, b),
  );
  const walkPoints = a.points.length > 0 ? a.points : b.points;
  const chosenRpm = speedWithin(walkPoints, lastChosenRpm);
  // The other views point at what is chosen here.
  useEffect(() => {
    if (chosenRpm !== null) store.getState().setUi({ pointerEngineSpeedRpm: chosenRpm });
  }, [store, chosenRpm]);
  const [hoveredRpm, setHoveredRpm] = useState<number | null>(null);
  const rpm = hoveredRpm ?? chosenRpm;
  const choose = useCallback((engineSpeedRpm: number) => setChosenRpm(engineSpeedRpm), []);
  const reference = a.surface?.reference ?? null;
  const first = useComparedMap(a, pair[0], 'a', reference, rpm);
  const second = useComparedMap(b, pair[1], 'b', reference, rpm);
  const axes = useSharedAxes(first, second);
  const units = useResultUnits();
  const words = useMemo(() => findingsOf(b, units), [b, units]);
  const names = useNames(...pair);
  const map = { axes, onHoverSpeed: setHoveredRpm, onChooseSpeed: choose };
  return (
    <div className={styles.compare} data-layout={layout} data-below={below}>
      <div className={styles.headings}>
        <CandidateHeading index={pair[0]} other={pair[1]} style="a" place="first" />
        <CandidateHeading index={pair[1]} other={pair[0]} style="b" place="second" />
      </div>
      {layout === 'overlay' ? (
        <OverlayMap first={first} second={second} {...map} />
      ) : (
        <div className={styles.maps}>
          <SideMap side={first} {...map} />
          <SideMap side={second} {...map} />
        </div>
      )}
      <MapKey first={first} second={second} layout={layout} />
      <ReadBoth first={first} second={second} engineSpeedRpm={rpm}>
        <SpeedWalk points={walkPoints} chosenRpm={chosenRpm} onChoose={choose} />
      </ReadBoth>
      {below === 'turbine' ? (
        <TurbineSection
          first={sideOf(first)}
          second={sideOf(second)}
          engineSpeedRpm={rpm}
          onHoverSpeed={setHoveredRpm}
          onChooseSpeed={choose}
        />
      ) : (
        <DifferencePanels pair={pair} names={names} watch={words} />
      )}
    </div>
  );
}

/** A side as the charts of the turbine take it. */
function sideOf({ index, letter, style, results, lines, point }: ComparedMap) {
  return { index, letter, style, results, line: lines[0] ?? null, point };
}

function findingsOf({ problems, findings }: CandidateResults, units: Parameters<typeof findingWords>[1]) {
  return problems.length > 0 ? problemWords(problems) : findingWords(findings, units);
}

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
