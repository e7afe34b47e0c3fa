import { useLayoutEffect, useRef } from 'react';
import styles from './chart-view.module.css';
import { createFieldChart, type FieldChartController, type FieldChartHandlers } from './field-chart.ts';
import type { FieldChartModel } from './field-chart-model.ts';
import type { PlotSize } from './map-scales.ts';
import { useMeasuredSize } from './measured-size.ts';
import type { Palette } from './palette.ts';

export interface FieldChartProps {
  model: FieldChartModel;
  palette: Palette;
  handlers?: FieldChartHandlers;
  /** Left out: fills the parent, which must have a height. */
  size?: PlotSize;
  /** What the field shows. Keys are added to it. */
  label: string;
}

const KEYS = 'Arrow keys read it cell by cell.';
const NO_HANDLERS: FieldChartHandlers = {};

/** The field chart in React. */
export function FieldChart({ model, palette, handlers = NO_HANDLERS, size, label }: FieldChartProps) {
  const holder = useRef<HTMLDivElement>(null);
  const svg = useRef<SVGSVGElement>(null);
  const spoken = useRef<HTMLDivElement>(null);
  const controller = useRef<FieldChartController | null>(null);
  const measured = useMeasuredSize(holder, size);

  // Runs after every render; each call compares by identity and does nothing when its part is the same.
  useLayoutEffect(() => {
    if (!svg.current || !measured) return;
    controller.current ??= createFieldChart(svg.current, palette, {}, measured);
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
        aria-roledescription="field chart"
        aria-label={`${label}. ${KEYS}`}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: it is operated with the keyboard
        tabIndex={0}
      />
      <div ref={spoken} className={styles.spoken} role="status" aria-live="polite" />
    </div>
  );
}
