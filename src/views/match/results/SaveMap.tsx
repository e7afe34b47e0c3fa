import type { RefObject } from 'react';
import type { Candidate } from '../../../build/index.ts';
import { exportMapSvg, lightPalette, type MapPlotModel } from '../../../plot/index.ts';
import { selectActiveBuild, useLuglineStore } from '../../../store/index.ts';
import { isEstimated } from '../../shared/estimateWords.ts';
import { fileName } from '../../shared/fileName.ts';
import { mapSheetWords, todayWords } from '../model/mapSheetWords.ts';
import { DRAWING_SIZE, SaveDrawing } from './SaveDrawing.tsx';

/** The map as a drawing or a picture, with where it comes from and the cautions on it. Always on white paper. */
export function SaveMap({
  candidates,
  model,
  hasMap,
}: {
  /** Whose map it is; two where one is drawn over the other. */
  candidates: readonly Candidate[];
  model: RefObject<MapPlotModel | null>;
  hasMap: boolean;
}) {
  const store = useLuglineStore();
  const svg = () => {
    if (model.current === null) return null;
    const words = mapSheetWords(candidates, selectActiveBuild(store.getState()), todayWords());
    return exportMapSvg({ ...model.current, focus: null }, { ...words, size: DRAWING_SIZE, palette: lightPalette });
  };
  const what = candidates.some(isEstimated) ? 'map-estimate' : 'map';
  const nameOf = (kind: 'svg' | 'png') => fileName(candidates.map(({ name }) => name).join(' and '), what, kind);
  return <SaveDrawing what="the map" fileName={nameOf} svg={svg} isDisabled={!hasMap} />;
}
