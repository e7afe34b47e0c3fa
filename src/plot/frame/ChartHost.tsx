import { type RefObject, useLayoutEffect, useRef, useState } from 'react';
import type { PlotSize } from '../charts/map-scales.ts';
import type { Palette } from '../palette.ts';
import styles from './chart-view.module.css';

/** The inner size of an element in whole pixels, followed as it changes; `fixed` is returned as it is. null until measured. */
export function useMeasuredSize(holder: RefObject<HTMLElement | null>, fixed: PlotSize | undefined): PlotSize | null {
  const [size, setSize] = useState<PlotSize | null>(null);
  useLayoutEffect(() => {
    const element = holder.current;
    if (fixed || !element) return;
    const measure = () => {
      const width = Math.floor(element.clientWidth);
      const height = Math.floor(element.clientHeight);
      if (width > 0 && height > 0) {
        setSize((before) => (before?.width === width && before.height === height ? before : { width, height }));
      }
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, [holder, fixed]);
  return fixed ?? size;
}

/** What a small chart's handlers have in common: a sentence for those who hear instead of see. */
export interface SpokenHandlers {
  announce?: ((text: string) => void) | undefined;
}

/** A chart that is drawn imperatively; each call compares by identity and does nothing when its part is the same. */
export interface HostedChart<Model, Handlers> {
  setHandlers(handlers: Handlers): void;
  resize(size: PlotSize): void;
  setPalette(palette: Palette): void;
  update(model: Model): void;
  destroy(): void;
}

interface ChartHostProps<Model, Handlers> {
  create: (svg: SVGSVGElement, palette: Palette, size: PlotSize) => HostedChart<Model, Handlers>;
  model: Model;
  palette: Palette;
  handlers: Handlers;
  size: PlotSize | undefined;
  /** 'line chart' */
  kind: string;
  /** Name and keys, read out. */
  label: string;
}

/** Places a small chart in React: its size, its life, and the live region that speaks its read-out. */
export function ChartHost<Model, Handlers extends SpokenHandlers>(props: ChartHostProps<Model, Handlers>) {
  const { create, model, palette, handlers, size, kind, label } = props;
  const holder = useRef<HTMLDivElement>(null);
  const svg = useRef<SVGSVGElement>(null);
  const spoken = useRef<HTMLDivElement>(null);
  const chart = useRef<HostedChart<Model, Handlers> | null>(null);
  const measured = useMeasuredSize(holder, size);

  // Runs after every render.
  useLayoutEffect(() => {
    if (!svg.current || !measured) return;
    chart.current ??= create(svg.current, palette, measured);
    const announce = (text: string) => {
      if (spoken.current) spoken.current.textContent = text;
      handlers.announce?.(text);
    };
    chart.current.setHandlers({ ...handlers, announce });
    chart.current.resize(measured);
    chart.current.setPalette(palette);
    chart.current.update(model);
  });
  useLayoutEffect(
    () => () => {
      chart.current?.destroy();
      chart.current = null;
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
        aria-roledescription={kind}
        aria-label={label}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: it is operated with the keyboard
        tabIndex={0}
      />
      <div ref={spoken} className={styles.spoken} role="status" aria-live="polite" />
    </div>
  );
}
