import { pointer, select } from 'd3';
import { nearestIndex } from '../../numerics/index.ts';
import { type Axes, axesKey, drawAxes } from './axes.ts';
import type { Palette } from './looks.ts';
import { type BoundMark, type Layer, Painter } from './mark.ts';
import type { PixelPoint, PlotSize } from './pixels.ts';

/**
 * A kind of chart: its axes and its marks. Paper, axes, legend, redrawing by identity, resizing, palette and the read-out by pointer
 * and keys are the same for all. `State` is what the chart itself remembers beside its model: what is held, how far it is zoomed.
 */
export interface ChartKind<Model extends object, Handlers, State extends object = object, S extends Axes = Axes> {
  /** 'line chart', as it is read out. */
  name: string;
  /** Said after the chart's own name. */
  keys(model: Model): string;
  layers: readonly Layer[];
  marks: readonly BoundMark<Model & State, S>[];
  /** What the axes are worked out from, by identity. */
  framed(model: Model & State): readonly unknown[];
  axes(model: Model & State, size: PlotSize): S;
  state?: State;
  /** Listens to pointer and keys, by `live.on`. */
  listen?(live: LiveChart<Model, Handlers, State, S>): void;
}

/** The groups of a small chart, from the back to the front. */
export const SMALL_LAYERS: readonly Layer[] = [
  { name: 'ground', isClipped: true },
  { name: 'grid' },
  { name: 'axes' },
  { name: 'heading', tag: 'text' },
  { name: 'lines', isClipped: true, attributes: { fill: 'none' } },
  { name: 'labels' },
  { name: 'legend' },
  { name: 'points' },
  { name: 'pointed', attributes: { 'pointer-events': 'none' } },
];

/** The painter of a kind for one SVG: draws a model once, for a file or for paper, or again and again. */
export function painterOf<Model extends object, Handlers, State extends object, S extends Axes>(
  kind: Pick<ChartKind<Model, Handlers, State, S>, 'layers' | 'marks'>,
  svg: SVGSVGElement,
  palette: Palette,
  id: string,
): Painter<Model & State, S> {
  return new Painter(svg, palette, id, kind.layers, kind.marks, drawAxes);
}

/** What the owner of a chart in an SVG element calls; each call compares by identity and does nothing when its part is the same. */
export interface ChartController<Model, Handlers> {
  update(model: Model): void;
  resize(size: PlotSize): void;
  setPalette(palette: Palette): void;
  setHandlers(handlers: Handlers): void;
  destroy(): void;
}

/** A chart in an SVG element that the caller owns. Draws nothing before the first `update`. */
export class LiveChart<Model extends object, Handlers, State extends object = object, S extends Axes = Axes>
  implements ChartController<Model, Handlers>
{
  model: (Model & State) | null = null;
  axes: S | null = null;
  /** Called with a model before it is drawn: to remember what depends on it. */
  beforeUpdate: ((model: Model) => void) | null = null;
  afterDraw: (() => void) | null = null;
  private state: State;
  private painter: Painter<Model & State, S>;
  private framed: readonly unknown[] = [];
  private readonly listening: string[] = [];

  constructor(
    readonly kind: ChartKind<Model, Handlers, State, S>,
    readonly svg: SVGSVGElement,
    private palette: Palette,
    public handlers: Handlers,
    private size: PlotSize,
    private readonly id: string,
  ) {
    this.state = kind.state ?? ({} as State);
    this.painter = painterOf(kind, svg, palette, id);
    kind.listen?.(this);
  }

  update(model: Model): void {
    this.beforeUpdate?.(model);
    this.model = { ...model, ...this.state };
    this.draw();
  }

  /** Changes what the chart remembers. */
  remember(state: Partial<State>): void {
    this.state = { ...this.state, ...state };
  }

  /** Changes what the chart remembers and draws what shows it. */
  set(state: Partial<State>): void {
    this.remember(state);
    if (!this.model) return;
    this.model = { ...this.model, ...this.state };
    this.draw();
  }

  resize(size: PlotSize): void {
    if (size.width === this.size.width && size.height === this.size.height) return;
    this.size = size;
    this.framed = [];
    this.draw();
  }

  setPalette(palette: Palette): void {
    if (palette === this.palette) return;
    this.palette = palette;
    this.painter = painterOf(this.kind, this.svg, palette, this.id);
    this.draw();
  }

  setHandlers(handlers: Handlers): void {
    this.handlers = handlers;
  }

  destroy(): void {
    for (const name of this.listening) select(this.svg).on(name, null);
  }

  /** Listens until the chart is destroyed; nothing is heard before there is a drawing. */
  on<E extends Event>(types: string, heard: (event: E, model: Model & State, axes: S) => void): void {
    // A name of its own: what listens to the same type must not push it out.
    const names = types.split(' ').map((type) => `${type}.chart${this.listening.length}`);
    this.listening.push(...names);
    select(this.svg).on(names.join(' '), (event: E) => {
      if (this.model && this.axes) heard(event, this.model, this.axes);
    });
  }

  private draw(): void {
    const { model, kind } = this;
    if (!model) return;
    const framed = kind.framed(model);
    if (!this.axes || framed.length !== this.framed.length || framed.some((part, i) => part !== this.framed[i])) {
      this.framed = framed;
      const axes = kind.axes(model, this.size);
      // Axes mostly stand still while an input moves, and with them all that stands on them.
      if (!this.axes || axesKey(axes) !== axesKey(this.axes)) this.axes = axes;
    }
    this.painter.paint(model, this.axes);
    this.afterDraw?.();
  }
}

let instances = 0;

/** A live chart of a kind; `id` is unique on the page. */
export function liveChart<Model extends object, Handlers, State extends object, S extends Axes>(
  kind: ChartKind<Model, Handlers, State, S>,
  svg: SVGSVGElement,
  palette: Palette,
  handlers: Handlers,
  size: PlotSize,
  id = `${kind.name.replaceAll(' ', '-')}-${++instances}`,
): LiveChart<Model, Handlers, State, S> {
  return new LiveChart(kind, svg, palette, handlers, size, id);
}

/** 'press' and 'key' mean a place; 'pointer' only passes over it. */
export interface By {
  by: 'pointer' | 'press' | 'key';
}

/** Those that hear what a chart is asked about. */
export interface PointHandlers<P> {
  /** A place is pointed at, by pointer or keys; null when the pointer left. The owner answers through the model's focus. */
  onPoint?: ((pointed: P | null) => void) | undefined;
  /** Text for a live region after a key. */
  announce?: ((text: string) => void) | undefined;
}

/** How a chart is read out: one place at a time, which its owner keeps in the model. */
export interface Pointing<Model, P, S> {
  under(model: Model, axes: S, pixel: PixelPoint): P | null;
  /** Whether the model's focus is there, or nowhere. */
  isFocus(model: Model, place: P | null): boolean;
  /** Where a key leads; undefined when the key is not the chart's. */
  keyed(model: Model, event: KeyboardEvent): P | undefined;
  say(model: Model, place: P): string;
}

/** Reads a chart out by pointer and keys. */
export function listenToPointing<Model extends object, P extends object, S extends Axes>(
  live: LiveChart<Model, PointHandlers<P & By>, object, S>,
  { under, isFocus, keyed, say }: Pointing<Model, P, S>,
): void {
  const point = (place: P | null, by: By['by']) => live.handlers.onPoint?.(place && { ...place, by });
  live.on<PointerEvent>('pointermove pointerdown', (event, model, axes) => {
    const [x, y] = pointer(event, live.svg);
    const place = under(model, axes, { x, y });
    const by = event.type === 'pointerdown' ? 'press' : 'pointer';
    if (by === 'press' || !isFocus(model, place)) point(place, by);
  });
  live.on('pointerleave', () => point(null, 'pointer'));
  live.on<KeyboardEvent>('keydown', (event, model) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === 'Escape' && !isFocus(model, null)) point(null, 'key');
    const place = keyed(model, event);
    if (place === undefined) return;
    event.preventDefault();
    point(place, 'key');
    live.handlers.announce?.(say(model, place));
  });
}

/** Where left and right arrow, Home and End lead among rising places; Shift goes five times as far. undefined for another key. */
export function steppedPlace(
  event: KeyboardEvent,
  places: readonly number[],
  focus: number | null,
): number | undefined {
  const last = places.length - 1;
  const at = focus === null ? -1 : nearestIndex(places, focus);
  const step = event.shiftKey ? 5 : 1;
  const targets: Readonly<Record<string, number>> = {
    ArrowLeft: at < 0 ? last : Math.max(0, at - step),
    ArrowRight: Math.min(last, at < 0 ? 0 : at + step),
    Home: 0,
    End: last,
  };
  return places[targets[event.key] ?? -1];
}
