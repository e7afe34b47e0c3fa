import { useLayoutEffect, useRef } from 'react';
import styles from './chart-view.module.css';
import { type CurveChartController, type CurveChartHandlers, createCurveChart } from './curve-chart.ts';
import type { CurveChartModel } from './curve-chart-model.ts';
import type { PlotSize } from './map-scales.ts';
import { useMeasuredSize } from './measured-size.ts';
import type { Palette } from './palette.ts';

export interface CurveChartProps {
  model: CurveChartModel;
  palette: Palette;
  handlers: CurveChartHandlers;
  /** Left out: fills the parent, which must have a height. */
  size?: PlotSize;
  /** 'Volumetric efficiency over engine speed'. Keys are added to it. */
  label: string;
}

const KEYS = 'Tab to a point; arrows move it, Shift ten times as far; Enter adds a point, Delete removes it.';

/** The curve chart in React. */
export function CurveChart({ model, palette, handlers, size, label }: CurveChartProps) {
  const holder = useRef<HTMLDivElement>(null);
  const svg = useRef<SVGSVGElement>(null);
  const controller = useRef<CurveChartController | null>(null);
  const measured = useMeasuredSize(holder, size);

  // Runs after every render; each call compares by identity and does nothing when its part is the same.
  useLayoutEffect(() => {
    if (!svg.current || !measured) return;
    controller.current ??= createCurveChart(svg.current, palette, handlers, measured);
    controller.current.setHandlers(handlers);
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

  return (
    <div ref={holder} className={styles.holder}>
      {/* biome-ignore lint/a11y/useSemanticElements: an SVG cannot be a fieldset */}
      <svg ref={svg} className={styles.svg} role="group" aria-label={`${label}. ${KEYS}`} />
    </div>
  );
}
