import { memo, useId, useLayoutEffect, useRef } from 'react';
import { drawMapPlot, type MapPlotModel, printPalette } from '../../../plot/index.ts';
import { type Paper, PX_PER_MM } from '../model/paper.ts';
import type { PrintedMap } from '../model/printedMap.ts';
import styles from './paper.module.css';

/** The drawing's own text is 12 px; on paper it is made this much smaller: 7 pt alone, 6.2 pt where two stand side by side. */
const SHRINK = { one: 0.78, two: 0.69 };
const GAP_MM = 4;

/** The maps with their operating lines, in greys, drawn at the size of the paper. Two stand on equal axes. */
export function MapFigures({ maps, paper, heightMm }: { maps: readonly PrintedMap[]; paper: Paper; heightMm: number }) {
  const widthMm = paper.widthMm - 2 * paper.sideMm;
  const eachMm = maps.length > 1 ? (widthMm - GAP_MM) / 2 : widthMm;
  return (
    <div className={styles.maps} data-count={maps.length}>
      {maps.map(({ letter, title, model, missing }) => (
        <figure key={letter}>
          <figcaption>{title}</figcaption>
          {model === null ? (
            <p className={styles.missing} style={{ height: `${heightMm}mm` }}>
              {missing}
            </p>
          ) : (
            <Drawing
              model={model}
              label={`Compressor map of candidate ${letter} with its operating line`}
              widthMm={eachMm}
              heightMm={heightMm}
              shrink={maps.length > 1 ? SHRINK.two : SHRINK.one}
            />
          )}
        </figure>
      ))}
    </div>
  );
}

interface DrawingProps {
  model: MapPlotModel;
  label: string;
  widthMm: number;
  heightMm: number;
  shrink: number;
}

const Drawing = memo(function Drawing({ model, label, widthMm, heightMm, shrink }: DrawingProps) {
  const ref = useRef<SVGSVGElement>(null);
  const id = useId();
  useLayoutEffect(() => {
    const svg = ref.current;
    if (svg === null) return;
    const size = { width: (widthMm * PX_PER_MM) / shrink, height: (heightMm * PX_PER_MM) / shrink };
    drawMapPlot(svg, model, printPalette, size, id);
    svg.setAttribute('width', `${widthMm}mm`);
    svg.setAttribute('height', `${heightMm}mm`);
  }, [model, widthMm, heightMm, shrink, id]);
  return (
    <svg ref={ref} className={styles.drawing} role="img" aria-label={label}>
      <title>{label}</title>
    </svg>
  );
});
