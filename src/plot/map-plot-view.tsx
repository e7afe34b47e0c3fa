import { type Ref, useImperativeHandle, useLayoutEffect, useRef } from 'react';
import styles from './chart-view.module.css';
import { createMapPlot, type MapPlotController, type MapPlotHandlers } from './map-plot.ts';
import type { MapPlotModel } from './map-plot-model.ts';
import type { PlotSize } from './map-scales.ts';
import { useMeasuredSize } from './measured-size.ts';
import type { Palette } from './palette.ts';

export interface MapPlotActions {
  zoomIn(): void;
  zoomOut(): void;
  resetZoom(): void;
  /** The live drawing. For a file, use exportMapSvg with the model. */
  svg(): SVGSVGElement | null;
}

export interface MapPlotProps {
  model: MapPlotModel;
  palette: Palette;
  handlers?: MapPlotHandlers;
  /** Left out: fills the parent, which must have a height. */
  size?: PlotSize;
  /** What the map is: 'Compressor map of candidate A, Larch 52'. Keys are added to it. */
  label: string;
  /** What it is called where it is read out. */
  kind?: string;
  ref?: Ref<MapPlotActions>;
}

const KEYS =
  'Arrow keys read along the operating line or the map, Enter changes between the two, Shift moves faster, Alt with arrows pans, plus, minus and zero zoom.';
const NO_HANDLERS: MapPlotHandlers = {};

/** The map plot in React: the element and its size are React's, everything inside is drawn imperatively. */
export function MapPlot({
  model,
  palette,
  handlers = NO_HANDLERS,
  size,
  label,
  kind = 'compressor map',
  ref,
}: MapPlotProps) {
  const holder = useRef<HTMLDivElement>(null);
  const svg = useRef<SVGSVGElement>(null);
  const spoken = useRef<HTMLDivElement>(null);
  const controller = useRef<MapPlotController | null>(null);
  const measured = useMeasuredSize(holder, size);

  // Runs after every render; each call compares by identity and does nothing when its part is the same.
  useLayoutEffect(() => {
    if (!svg.current || !measured) return;
    controller.current ??= createMapPlot(svg.current, palette, {}, measured);
    const announce = (text: string) => {
      if (spoken.current) spoken.current.textContent = text;
      handlers.announce?.(text);
    };
    controller.current.setHandlers({ ...handlers, announce });
    controller.current.resize(measured);
    controller.current.setPalette(palette);
    controller.current.update(model);
  });
  useLayoutEffect(
    () => () => {
      controller.current?.destroy();
      controller.current = null;
    },
    [],
  );
  useImperativeHandle(
    ref,
    () => ({
      zoomIn: () => controller.current?.zoomIn(),
      zoomOut: () => controller.current?.zoomOut(),
      resetZoom: () => controller.current?.resetZoom(),
      svg: () => svg.current,
    }),
    [],
  );

  return (
    <div ref={holder} className={styles.holder}>
      {/* An application: the arrow keys move a read-out that the live region speaks. */}
      <svg
        ref={svg}
        className={`${styles.svg} ${styles.map}`}
        role="application"
        aria-roledescription={kind}
        aria-label={`${label}. ${KEYS}`}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: it is operated with the keyboard
        tabIndex={0}
      />
      <div ref={spoken} className={styles.spoken} role="status" aria-live="polite" />
    </div>
  );
}
