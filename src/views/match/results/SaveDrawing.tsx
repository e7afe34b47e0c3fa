import { useState } from 'react';
import { exportPng } from '../../../plot/index.ts';
import { Button } from '../../../widgets/index.ts';
import { saveFile } from '../../shared/saveFile.ts';

/** Large enough for a page of a build file; twice that in pixels for a picture. */
export const DRAWING_SIZE = { width: 1120, height: 820 };
const PNG_SCALE = 2;

/** A drawing as a file or a picture, made when it is asked for. */
export function SaveDrawing({
  what,
  fileName,
  svg,
  isDisabled,
}: {
  /** 'the map' */
  what: string;
  fileName: (kind: 'svg' | 'png') => string;
  /** The drawing as it stands; null: there is none. */
  svg: () => string | null;
  isDisabled: boolean;
}) {
  const [trouble, setTrouble] = useState<string | null>(null);
  const save = async (kind: 'svg' | 'png') => {
    const drawing = svg();
    if (drawing === null) return;
    setTrouble(null);
    try {
      if (kind === 'svg') saveFile(fileName(kind), drawing, 'image/svg+xml');
      else saveFile(fileName(kind), await exportPng(drawing, PNG_SCALE), 'image/png');
    } catch (error) {
      setTrouble(error instanceof Error ? error.message : 'The picture could not be made. Save it as SVG instead.');
    }
  };
  return (
    <>
      <Button label={`Save ${what} as an SVG drawing`} isDisabled={isDisabled} onPress={() => void save('svg')}>
        SVG
      </Button>
      <Button label={`Save ${what} as a PNG picture`} isDisabled={isDisabled} onPress={() => void save('png')}>
        PNG
      </Button>
      {trouble !== null && <span role="alert">{trouble}</span>}
    </>
  );
}
