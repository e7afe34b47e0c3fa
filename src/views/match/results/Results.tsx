import { memo, type RefObject, Suspense, useCallback, useLayoutEffect, useMemo, useRef, useState } from 'react';
import type { MapPlotController, MapPlotModel, MapReadout } from '../../../plot/index.ts';
import { selectCandidates, type UiState, useActions, useLugline, useSettings } from '../../../store/index.ts';
import { Button, ChoiceRow, PanelButton } from '../../../widgets/index.ts';
import { CAUTIONS, useResultUnits } from '../../shared/display.ts';
import type { FindingWords } from '../../shared/findingSentences.ts';
import { Drawer } from '../drawer/Drawer.tsx';
import { MapKey, MapTools } from '../lateParts.ts';
import { OneMap, type Pointing, TwoMaps } from '../map/Maps.tsx';
import styles from '../match.module.css';
import { readOutWords, spokenReadOut } from '../model/readOut.ts';
import type { Side } from '../model/side.ts';
import { type VerdictPart, verdictOf } from '../model/verdict.ts';
import { Candidates, type ChosenFinding, useShow } from './Candidates.tsx';
import { type ReadOutHandle, Scrubber } from './Scrubber.tsx';
import { type ShownPair, useShownPair, useSides } from './shownPair.ts';
import { Verdict } from './signs.tsx';

/** The answer in a sentence, the map, one engine speed for everything, and both candidates. */
export function Results({ onInputs }: { onInputs: () => void }) {
  const count = useLugline((state) => selectCandidates(state).length);
  const pair = useShownPair();
  if (pair !== null) return <Panels {...pair} count={count} onInputs={onInputs} />;
  if (count > 0) return null;
  return (
    <div className={styles.results}>
      <ViewBar count={0} onInputs={onInputs} />
      <Candidates sides={[]} shown={0} chosen={null} onShow={nothing} onFinding={nothing} />
      <p className={styles.nothing}>This build has no candidate. Add one to see its map and its findings.</p>
      <p className={styles.cautions}>{CAUTIONS}</p>
    </div>
  );
}

const nothing = () => undefined;

function Panels({ count, onInputs, ...shownPair }: ShownPair & { count: number; onInputs: () => void }) {
  const { shown, first, second, a, b } = shownPair;
  const layout = useLugline((state) => (second === null ? 'one' : state.ui.matchLayout));
  const reference = layout === 'one' ? null : (a.surface?.reference ?? null);
  const { sideA, sideB, side, chosenRpm, rpm, setHovered, choose } = useSides(shownPair, reference);
  const pair = useMemo(() => (second === null ? null : ([sideA, sideB] as const)), [second, sideA, sideB]);
  const sides = pair ?? [sideA];
  const show = useShow(shown);
  const [chosen, setChosen] = useState<ChosenFinding | null>(null);
  const chooseSpeed = useCallback(
    (engineSpeedRpm: number) => {
      choose(engineSpeedRpm);
      setChosen(null);
    },
    [choose],
  );
  const onFinding = useCallback(
    (index: number, { id, engineSpeedRpm }: Pick<FindingWords, 'id' | 'engineSpeedRpm'>) => {
      setChosen((before) => (before?.index === index && before.findingId === id ? null : { index, findingId: id }));
      if (engineSpeedRpm !== null) choose(engineSpeedRpm);
    },
    [choose],
  );
  const go = useCallback(
    ({ index, findingId, engineSpeedRpm }: VerdictPart) => {
      if (index !== shown) show(index);
      setChosen(findingId === null ? null : { index, findingId });
      if (engineSpeedRpm !== null) choose(engineSpeedRpm);
    },
    [shown, show, choose],
  );
  const { readOut, pointing } = useReadOut(sides, side, { setHovered, chooseSpeed, onFinding });
  const map = { drawn: useRef<MapPlotModel | null>(null), plot: useRef<MapPlotController | null>(null), pointing };
  const verdict = useMemo(
    () =>
      verdictOf(
        (second === null ? [a] : [a, b]).map((results, at) => ({ index: at === 0 ? first : second!, results })),
      ),
    [a, b, first, second],
  );
  const tools = useTools(layout === 'overlay' && pair !== null ? pair : [side], side, map);
  return (
    <div className={styles.results} data-layout={layout}>
      {/* The map is soon reached by keyboard; where things stand is the style sheet's matter. */}
      <div className={styles.centre}>
        <div className={styles.stage} data-layout={layout}>
          <div className={styles.maps}>
            {layout === 'one' || pair === null ? (
              <OneMap side={side} chosenId={chosen?.index === shown ? chosen.findingId : null} {...map} />
            ) : (
              <TwoMaps first={pair[0]} second={pair[1]} chosen={chosen} layout={layout} {...map} />
            )}
          </div>
          <Scrubber
            ref={readOut}
            sides={sides}
            points={side.results.points.length > 0 ? side.results.points : sideA.results.points}
            engineSpeedRpm={rpm}
            onChoose={chooseSpeed}
          />
        </div>
      </div>
      <Verdict parts={verdict} onGo={go} />
      <ViewBar count={count} onInputs={onInputs}>
        {tools}
      </ViewBar>
      <Candidates sides={sides} shown={shown} chosen={chosen} onShow={show} onFinding={onFinding} />
      <Drawer
        shown={side}
        isOne={layout === 'one'}
        pair={pair}
        engineSpeedRpm={rpm}
        chosenRpm={chosenRpm}
        onHoverSpeed={setHovered}
        onChooseSpeed={chooseSpeed}
      />
    </div>
  );
}

/** What is behind the buttons of the bar; the same while the maps are those of the same candidates. */
function useTools(
  sides: readonly Side[],
  { read }: Side,
  { drawn, plot }: { drawn: RefObject<MapPlotModel | null>; plot: RefObject<MapPlotController | null> },
) {
  const reference = read?.surface.reference ?? null;
  const [first, second] = sides.map(({ results }) => results.candidate);
  return useMemo(
    () => (
      <Suspense fallback={null}>
        <PanelButton label="Key">
          <MapKey drawn={drawn} reference={reference} />
        </PanelButton>
        <PanelButton label="Map and units">
          <MapTools
            candidates={[first, second].filter((candidate) => candidate !== undefined)}
            drawn={drawn}
            plot={plot}
          />
        </PanelButton>
      </Suspense>
    ),
    [reference, first, second, drawn, plot],
  );
}

interface Acts {
  setHovered: (engineSpeedRpm: number | null) => void;
  chooseSpeed: (engineSpeedRpm: number) => void;
  onFinding: (index: number, finding: Pick<FindingWords, 'id' | 'engineSpeedRpm'>) => void;
}

/** Whatever moves (the line, the day, the choice), the read-out shows the same place with its new numbers. */
function useReadOut(sides: readonly Side[], shown: Side, acts: Acts) {
  const { flowAxisUnit } = useSettings();
  const units = useResultUnits();
  const readOut = useRef<ReadOutHandle>(null);
  const pointed = useRef<{ at: MapReadout; letters: string } | null>(null);
  const words = (at: MapReadout | null, letters: string) => {
    const among = sides.filter(({ letter }) => letters.includes(letter));
    const read = among.find(({ lines }) => lines.at(-1)?.id === at?.near?.lineId) ?? among[0] ?? shown;
    return readOutWords({
      letter: sides.length > 1 ? read.letter : '',
      at,
      read: read.read,
      points: read.results.points,
      chosenPoint: read.point,
      flowUnit: flowAxisUnit,
      units,
    });
  };
  const newest = useRef({ words, sides, acts });
  newest.current = { words, sides, acts };
  const show = useCallback(() => {
    const { at = null, letters = '' } = pointed.current ?? {};
    readOut.current?.show(newest.current.words(at, letters));
  }, []);
  useLayoutEffect(show);
  const pointing = useMemo(
    (): Pointing => ({
      onRead: (at, letters) => {
        pointed.current = at && { at, letters };
        show();
      },
      describe: (at, letters) =>
        at.source === 'keyboard' ? spokenReadOut(newest.current.words(at, letters), units) : [],
      onHoverSpeed: (rpm) => newest.current.acts.setHovered(rpm),
      onChooseSpeed: (rpm) => newest.current.acts.chooseSpeed(rpm),
      onPlace: (id, letter) => {
        const side = newest.current.sides.find((one) => one.letter === letter);
        const finding = side?.words.find((one) => one.id === id);
        if (side && finding) newest.current.acts.onFinding(side.index, finding);
      },
    }),
    [show, units],
  );
  return { readOut, pointing };
}

const LAYOUTS: readonly { key: UiState['matchLayout']; name: string }[] = [
  { key: 'one', name: 'One map' },
  { key: 'side-by-side', name: 'Side by side' },
  { key: 'overlay', name: 'Overlay' },
];

interface BarProps {
  count: number;
  onInputs: () => void;
  children?: React.ReactNode;
}

/** How the candidates are looked at. Stands in the same place whatever is chosen. */
const ViewBar = memo(function ViewBar({ count, onInputs, children }: BarProps) {
  const { setUi } = useActions();
  const layout = useLugline((state) => state.ui.matchLayout);
  return (
    <div className={styles.viewBar}>
      <Button className={styles.inputsButton} onPress={onInputs}>
        Inputs
      </Button>
      <ChoiceRow
        label="How the candidates are shown"
        hideLabel
        value={count < 2 ? 'one' : layout}
        options={LAYOUTS.map((option) => ({ ...option, isDisabled: count < 2 && option.key !== 'one' }))}
        onChange={(matchLayout) => setUi({ matchLayout })}
      />
      <span className="grow" />
      {children}
      <Button variant="quiet" icon="whole" onPress={() => setUi({ isCounter: true })}>
        Counter mode
      </Button>
    </div>
  );
});
