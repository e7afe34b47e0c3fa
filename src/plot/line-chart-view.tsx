import { useLayoutEffect, useRef } from 'react';
import styles from './chart-view.module.css';
import { createLineChart, type LineChartController, type LineChartHandlers } from './line-chart.ts';
import type { LineChartModel } from './line-chart-model.ts';
import type { PlotSize } from './map-scales.ts';
import { useMeasuredSize } from './measured-size.ts';
import type { Palette } from './palette.ts';

export interface LineChartProps {
  model: LineChartModel;
  palette: Palette;
  handlers?: LineChartHandlers;
  /** Left out: fills the parent, which must have a height. */
  size?: PlotSize;
  /** 'Shaft speed over engine speed'. Keys are added to it. */
  label: string;
  /** In place of the usual words on the keys. */
  keys?: string;
}

const KEYS = 'Left and right arrow read place by place.';
const NO_HANDLERS: LineChartHandlers = {};

/** The line chart in React. */
export function LineChart({ model, palette, handlers = NO_HANDLERS, size, label, keys = KEYS }: LineChartProps) {
  const holder = useRef<HTMLDivElement>(null);
  const svg = useRef<SVGSVGElement>(null);
  const spoken = useRef<HTMLDivElement>(null);
  const controller = useRef<LineChartController | null>(null);
  const measured = useMeasuredSize(holder, size);

  // Runs after every render; each call compares by identity and does nothing when its part is the same.
  useLayoutEffect(() => {
    if (!svg.current || !measured) return;
    controller.current ??= createLineChart(svg.current, palette, {}, measured);
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

  return (
    <div ref={holder} className={styles.holder}>
      {/* An application: the arrow keys move a read-out that the live region speaks. */}
      <svg
        ref={svg}
        className={styles.svg}
        role="application"
        aria-roledescription="line chart"
        aria-label={`${label}. ${keys}`}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: it is operated with the keyboard
        tabIndex={0}
      />
      <div ref={spoken} className={styles.spoken} role="status" aria-live="polite" />
    </div>
  );
}
