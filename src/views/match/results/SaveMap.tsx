import { type RefObject, useState } from 'react';
import type { Candidate } from '../../../build/index.ts';
import { exportMapSvg, exportPng, lightPalette, type MapPlotModel } from '../../../plot/index.ts';
import { selectActiveBuild, useLuglineStore } from '../../../store/index.ts';
import { Button } from '../../../widgets/index.ts';
import { isEstimated } from '../../shared/estimateWords.ts';
import { fileName } from '../../shared/fileName.ts';
import { saveFile } from '../../shared/saveFile.ts';
import { mapSheetWords } from '../model/mapSheetWords.ts';

/** Large enough for a page of a build file; twice that in pixels for a picture. */
const SIZE = { width: 1120, height: 820 };
const PNG_SCALE = 2;

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
  const [trouble, setTrouble] = useState<string | null>(null);
  const svg = () => {
    if (model.current === null) return null;
    const build = selectActiveBuild(store.getState());
    const today = new Date().toLocaleDateString(undefined, { day: 'numeric', month: 'long', year: 'numeric' });
    const sheet = { ...mapSheetWords(candidates, build, today), size: SIZE, palette: lightPalette };
    return exportMapSvg({ ...model.current, focus: null }, sheet);
  };
  const save = async (kind: 'svg' | 'png') => {
    const drawing = svg();
    if (drawing === null) return;
    setTrouble(null);
    const what = candidates.some(isEstimated) ? 'map-estimate' : 'map';
    const name = fileName(candidates.map((candidate) => candidate.name).join(' and '), what, kind);
    try {
      if (kind === 'svg') saveFile(name, drawing, 'image/svg+xml');
      else saveFile(name, await exportPng(drawing, PNG_SCALE), 'image/png');
    } catch (error) {
      setTrouble(error instanceof Error ? error.message : 'The picture could not be made. Save it as SVG instead.');
    }
  };
  return (
    <>
      <Button label="Save the map as an SVG drawing" isDisabled={!hasMap} onPress={() => void save('svg')}>
        SVG
      </Button>
      <Button label="Save the map as a PNG picture" isDisabled={!hasMap} onPress={() => void save('png')}>
        PNG
      </Button>
      {trouble !== null && <span role="alert">{trouble}</span>}
    </>
  );
}
