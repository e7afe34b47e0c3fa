import { useCallback, useEffect, useState } from 'react';
import type { ReferenceState } from '../../../compressor/index.ts';
import {
  type CandidateResults,
  selectCandidates,
  selectShownCandidate,
  useCandidateResults,
  useLugline,
  useLuglineStore,
  useSettings,
} from '../../../store/index.ts';
import { comparedPair } from '../../shared/display.ts';
import { speedWithin } from '../../shared/mapDrawing.ts';
import { useSide } from '../model/side.ts';

/** The candidates that are shown, in the order of the list. */
export interface ShownPair {
  shown: number;
  first: number;
  /** null: the first stands alone, and `b` is its results once more. */
  second: number | null;
  a: CandidateResults;
  b: CandidateResults;
}

/** null: the build has no candidate, or its results are not there yet. */
export function useShownPair(): ShownPair | null {
  const count = useLugline((state) => selectCandidates(state).length);
  const shown = useLugline(selectShownCandidate);
  const [first = shown ?? 0, second = null] = comparedPair(useSettings(), count)?.toSorted((p, q) => p - q) ?? [];
  const a = useCandidateResults(first);
  const b = useCandidateResults(second ?? first);
  return shown === null || a === null || b === null ? null : { shown, first, second, a, b };
}

/** Both as they are drawn, the second brought to the first one's reference state where that is given, and the engine speed that is looked at. */
export function useSides({ shown, first, second, a, b }: ShownPair, reference: ReferenceState | null) {
  const speed = useEngineSpeed(shown === first ? a : b, shown === first ? b : a);
  const sideA = useSide(a, first, reference, speed.rpm);
  const sideB = useSide(b, second ?? first, reference, speed.rpm);
  return { ...speed, sideA, sideB, side: shown === first ? sideA : sideB };
}

/** Where reading begins: at the worst that there is to say about either. */
function startingSpeed(...all: readonly CandidateResults[]): number | null {
  const found = all.flatMap(({ findings }) => findings.slice(0, 1)).filter((one) => one.engineSpeedRpm !== undefined);
  const worst = found.find(({ severity }) => severity === 'stop') ?? found[0];
  return worst?.engineSpeedRpm ?? all[0]?.points.at(-1)?.engineSpeedRpm ?? null;
}

/**
 * The engine speed that is looked at, in every view the same one: it begins at the worst finding and stays while inputs change. What is
 * pointed at on a chart shows everywhere while the pointer is there.
 */
function useEngineSpeed(shown: CandidateResults, other: CandidateResults) {
  const store = useLuglineStore();
  const kept = useLugline((state) => state.ui.pointerEngineSpeedRpm);
  const [start] = useState(() => startingSpeed(shown, other));
  const [hovered, setHovered] = useState<number | null>(null);
  const points = shown.points.length > 0 ? shown.points : other.points;
  const chosenRpm = speedWithin(points, kept ?? start);
  const choose = useCallback(
    (engineSpeedRpm: number) => store.getState().setUi({ pointerEngineSpeedRpm: engineSpeedRpm }),
    [store],
  );
  useEffect(() => {
    if (kept === null && chosenRpm !== null) choose(chosenRpm);
  }, [kept, chosenRpm, choose]);
  return { chosenRpm, rpm: hovered ?? chosenRpm, setHovered, choose };
}
