import { Suspense, useCallback, useEffect, useMemo, useState } from 'react';
import {
  type CandidateResults,
  selectCandidates,
  useCandidateResults,
  useLugline,
  useLuglineStore,
  useSettings,
} from '../../../store/index.ts';
import { candidateLetter } from '../../shared/candidateLetter.ts';
import { comparedPair } from '../../shared/comparedPair.ts';
import { findingWords } from '../../shared/findingWords.ts';
import { speedWithin } from '../../shared/speedWithin.ts';
import { useResultUnits } from '../../shared/useResultUnits.ts';
import { TurbineSection } from '../lateTurbine.tsx';
import { problemWords } from '../model/problemWords.ts';
import { SpeedWalk } from '../results/SpeedWalk.tsx';
import { CandidateHeading } from './CandidateHeading.tsx';
import styles from './compare.module.css';
import { DifferencePanels } from './DifferencePanels.tsx';
import { MapKey } from './MapKey.tsx';
import { OverlayMap } from './OverlayMap.tsx';
import { ReadBoth } from './ReadBoth.tsx';
import { SideMap } from './SideMap.tsx';
import { type ComparedMap, useComparedMap, useSharedAxes } from './useComparedMaps.ts';

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
  const names = useNames(a.candidate.name, b.candidate.name, pair);
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
        <Suspense fallback={null}>
          <TurbineSection
            first={sideOf(first)}
            second={sideOf(second)}
            engineSpeedRpm={rpm}
            onHoverSpeed={setHoveredRpm}
            onChooseSpeed={choose}
          />
        </Suspense>
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

/** How the two are called in sentences; the same pair while the names are the same. */
function useNames(a: string, b: string, [first, second]: readonly [number, number]): readonly [string, string] {
  return useMemo(
    () => [a.trim() || `Candidate ${candidateLetter(first)}`, b.trim() || `Candidate ${candidateLetter(second)}`],
    [a, b, first, second],
  );
}

function findingsOf({ problems, findings }: CandidateResults, units: Parameters<typeof findingWords>[1]) {
  return problems.length > 0 ? problemWords(problems) : findingWords(findings, units);
}
