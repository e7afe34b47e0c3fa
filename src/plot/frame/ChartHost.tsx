import {
  type CSSProperties,
  createContext,
  type Ref,
  type RefObject,
  useContext,
  useImperativeHandle,
  useLayoutEffect,
  useRef,
  useState,
} from 'react';
import type { Axes } from './axes.ts';
import styles from './chart-view.module.css';
import { type ChartController, type ChartKind, liveChart } from './live.ts';
import { lightPalette, type Palette } from './looks.ts';
import type { PlotSize } from './pixels.ts';

/** The inner size of an element in whole pixels, followed as it changes; `fixed` is returned as it is. null until measured. */
export function useMeasuredSize(holder: RefObject<HTMLElement | null>, fixed?: PlotSize): PlotSize | null {
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

/** The colours of all drawings inside it: those of the theme. */
export const PaletteContext = createContext(lightPalette);

/** A chart that speaks: a sentence for those who hear instead of see. */
interface SpokenHandlers {
  announce?: ((text: string) => void) | undefined;
}

export interface ChartProps<Model, Handlers> {
  model: Model;
  handlers?: Handlers;
  /** Left out: fills the parent, which must have a height. */
  size?: PlotSize;
  /** 'Shaft speed over engine speed'. Keys are added to it. */
  label: string;
  /** In place of the usual words on the keys. */
  keys?: string;
}

interface ChartHostProps<Model, Handlers, Controller> extends ChartProps<Model, Handlers> {
  create: (svg: SVGSVGElement, palette: Palette, size: PlotSize) => Controller;
  kind: string;
  keys: string;
  /** 'group': what can be operated is inside and says itself what it is. */
  role?: 'application' | 'group' | undefined;
  style?: CSSProperties;
  ref?: Ref<Controller> | undefined;
}

/** Places a chart in React: its size, its life, and the live region that speaks its read-out. What is inside is drawn imperatively. */
export function ChartHost<Model, Handlers extends object, Controller extends ChartController<Model, Handlers>>({
  create,
  model,
  handlers,
  size,
  kind,
  label,
  keys,
  role = 'application',
  style,
  ref,
}: ChartHostProps<Model, Handlers, Controller>) {
  const palette = useContext(PaletteContext);
  const holder = useRef<HTMLDivElement>(null);
  const svg = useRef<SVGSVGElement>(null);
  const spoken = useRef<HTMLDivElement>(null);
  const chart = useRef<Controller | null>(null);
  const measured = useMeasuredSize(holder, size);

  // Runs after every render.
  useLayoutEffect(() => {
    if (!svg.current || !measured) return;
    chart.current ??= create(svg.current, palette, measured);
    const announce = (text: string) => {
      if (spoken.current) spoken.current.textContent = text;
      (handlers as SpokenHandlers | undefined)?.announce?.(text);
    };
    chart.current.setHandlers({ ...(handlers as Handlers), announce });
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
  useImperativeHandle(ref, () => chart.current!);

  const isGroup = role === 'group';
  return (
    <div ref={holder} className="ui-low wide tall relative">
      {/* An application: the arrow keys move a read-out that the live region speaks. */}
      <svg
        ref={svg}
        className={styles.svg}
        style={style}
        role={role}
        aria-roledescription={isGroup ? undefined : kind}
        aria-label={`${label}. ${keys}`}
        tabIndex={isGroup ? undefined : 0}
      />
      {isGroup ? null : <div ref={spoken} className="spoken" role="status" aria-live="polite" />}
    </div>
  );
}

/** The React component of a kind of chart. */
export function chartComponent<Model extends object, Handlers extends object, State extends object, S extends Axes>(
  chart: ChartKind<Model, Handlers, State, S>,
  role?: 'group',
) {
  const create = (svg: SVGSVGElement, palette: Palette, size: PlotSize) =>
    liveChart(chart, svg, palette, {} as Handlers, size);
  return (props: ChartProps<Model, Handlers>) => (
    <ChartHost {...props} create={create} kind={chart.name} keys={props.keys ?? chart.keys(props.model)} role={role} />
  );
}
