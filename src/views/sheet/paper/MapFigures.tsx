import { memo, useId, useLayoutEffect, useRef } from 'react';
import { drawMapLegend, drawMapPlot, type MapPlotModel, printPalette } from '../../../plot/index.ts';
import { type Paper, PX_PER_MM } from '../model/paper.ts';
import type { PrintedMap } from '../model/printedMap.ts';
import styles from './paper.module.css';

/** The drawing's own text is 12 px, which is 9 pt; on paper it is made this much smaller: 7 pt alone, 6.3 pt where two stand side by side. */
const SHRINK = { one: 0.78, two: 0.7 };
const GAP_MM = 5;

interface Props {
  maps: readonly PrintedMap[];
  paper: Paper;
  heightMm: number;
}

/** The maps with their operating lines, in greys, drawn at the size of the paper under one legend. Two stand on equal axes. */
export function MapFigures({ maps, paper, heightMm }: Props) {
  const widthMm = paper.widthMm - 2 * paper.sideMm;
  const eachMm = maps.length > 1 ? (widthMm - GAP_MM) / 2 : widthMm;
  const shrink = maps.length > 1 ? SHRINK.two : SHRINK.one;
  return (
    <div className={styles.mapBand}>
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
                shrink={shrink}
              />
            )}
          </figure>
        ))}
      </div>
      <Legend maps={maps} widthMm={widthMm} shrink={shrink} />
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
    drawMapPlot(svg, model, printPalette, size, id, 'apart');
    svg.setAttribute('width', `${widthMm}mm`);
    svg.setAttribute('height', `${heightMm}mm`);
  }, [model, widthMm, heightMm, shrink, id]);
  return <svg ref={ref} className={styles.drawing} role="img" aria-label={label} />;
});

const Legend = memo(function Legend({
  maps,
  widthMm,
  shrink,
}: Omit<Props, 'paper' | 'heightMm'> & { widthMm: number; shrink: number }) {
  const ref = useRef<SVGSVGElement>(null);
  useLayoutEffect(() => {
    const svg = ref.current;
    if (svg === null) return;
    const models = maps.flatMap(({ model }) => model ?? []);
    const heightPx = drawMapLegend(svg, models, printPalette, (widthMm * PX_PER_MM) / shrink);
    svg.setAttribute('width', `${widthMm}mm`);
    svg.setAttribute('height', `${(heightPx * shrink) / PX_PER_MM}mm`);
  }, [maps, widthMm, shrink]);
  return <svg ref={ref} className={styles.drawing} role="img" aria-label="What the lines of the maps are" />;
});
