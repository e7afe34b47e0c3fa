import { useCallback, useEffect, useState } from 'react';
import { type CandidateResults, useLugline, useLuglineStore } from '../../../store/index.ts';
import { speedWithin } from '../../shared/mapDrawing.ts';

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
export function useEngineSpeed(shown: CandidateResults, other: CandidateResults) {
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
