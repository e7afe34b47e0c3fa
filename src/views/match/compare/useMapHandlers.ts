import { useEffect, useMemo, useRef } from 'react';
import type { MapPlotHandlers, MapReadout } from '../../../plot/index.ts';
import { useSettings } from '../../../store/index.ts';
import { readOutDescription, readOutWords } from '../model/readOutWords.ts';
import type { ComparedMap } from './useComparedMaps.ts';

/** What pointer and keys on one of the maps do: an engine speed under the pointer is shown on both; walked to by keys it is chosen. */
export function useMapHandlers(
  sides: readonly ComparedMap[],
  onHoverSpeed: (engineSpeedRpm: number | null) => void,
  onChooseSpeed: (engineSpeedRpm: number) => void,
): MapPlotHandlers {
  const { flowAxisUnit } = useSettings();
  const words = (at: MapReadout) => {
    const side = sides.find(({ lines }) => lines[0]?.id === at.near?.lineId) ?? sides[0];
    const found = readOutWords({
      at,
      read: side?.read ?? null,
      points: side?.results.points ?? [],
      chosenPoint: null,
      flowUnit: flowAxisUnit,
    });
    // Over two maps at once a place means two things: which one is read must be said.
    return sides.length > 1 ? { ...found, heading: `${side?.letter}: ${found.heading}` } : found;
  };
  const newest = useRef(words);
  newest.current = words;
  useEffect(() => () => onHoverSpeed(null), [onHoverSpeed]);
  return useMemo(
    () => ({
      onHover: (at: MapReadout | null) => {
        if (at?.source === 'keyboard' && at.near !== null) onChooseSpeed(at.near.engineSpeedRpm);
      },
      onEngineSpeed: (near: MapReadout['near']) => onHoverSpeed(near?.engineSpeedRpm ?? null),
      describe: (at: MapReadout) => readOutDescription(newest.current(at), at.source === 'keyboard'),
    }),
    [onHoverSpeed, onChooseSpeed],
  );
}
