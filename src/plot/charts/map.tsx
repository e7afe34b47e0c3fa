import { pointer } from 'd3';
import type { Ref } from 'react';
import { ChartHost, type ChartProps } from '../frame/ChartHost.tsx';
import { type ChartController, type ChartKind, LiveChart } from '../frame/live.ts';
import type { Palette } from '../frame/looks.ts';
import type { PlotSize } from '../frame/pixels.ts';
import { MAP, type MapReading, mapFrame, mapStage, NOT_ZOOMED } from './map-drawing.ts';
import {
  holdingExtent,
  type MapPlotModel,
  type MapReadout,
  type MapStage,
  type NearPoint,
  toData,
} from './map-model.ts';
import { mapKey, nearestReadout, type ReadoutMode, readoutOnLine, standablePoints } from './map-reading.ts';
import type { createMapZoom, MapZoom } from './map-zoom.ts';

export interface MapPlotHandlers {
  /** The read-out moved (pointer or keys); null when it left. */
  onHover?: ((readout: MapReadout | null) => void) | undefined;
  /** The operating point under the read-out changed; null when none is near. For linked charts and tables. */
  onEngineSpeed?: ((near: NearPoint | null) => void) | undefined;
  /** Lines to show beside the read-out point, values with their units; first line is the heading. Also spoken for keyboard users. */
  describe?: ((readout: MapReadout) => readonly string[]) | undefined;
  /** Text for a live region: called after a keyboard move. */
  announce?: ((text: string) => void) | undefined;
  /** A place was clicked. */
  onPlace?: ((id: string) => void) | undefined;
}

export interface MapPlotController extends ChartController<MapPlotModel, MapPlotHandlers> {
  zoomIn(): void;
  zoomOut(): void;
  resetZoom(): void;
  /** The scales in use, for tests and for drawing over the plot; null before the first update. */
  scales(): MapStage | null;
}

let createZoom: typeof createMapZoom | null = null;

/** Fetches d3's zoom: a late part, which brings transitions and interpolation of colours along. Maps that are drawn by then get it at once. */
export async function loadMapZoom(): Promise<void> {
  createZoom ??= (await import('./map-zoom.ts')).createMapZoom;
}

interface MapState extends MapReading {
  zoom: MapZoom | null;
  /** Another one after every change of the zoom. */
  zoomed: object;
}

/** Reach of the pointer to an operating point, pixels. */
const REACH = 16;

class LiveMap extends LiveChart<MapPlotModel, MapPlotHandlers, MapState, MapStage> implements MapPlotController {
  private zoom: MapZoom | null = null;
  private mode: ReadoutMode | null = null;
  private readout: MapReadout | null = null;
  private isDestroyed = false;

  constructor(svg: SVGSVGElement, palette: Palette, handlers: MapPlotHandlers, size: PlotSize, id: string) {
    super(KIND, svg, palette, handlers, size, id);
    if (createZoom) this.startZoom(createZoom);
    else {
      const started = loadMapZoom().then(() => this.isDestroyed || this.startZoom(createZoom!));
      // Without a network the map is whole, and not zoomed.
      started.catch(() => undefined);
    }
    this.beforeUpdate = (model) => this.keepReadoutOn(model);
    this.on<PointerEvent>('pointermove pointerdown', (event, model, stage) => this.pointed(event, model, stage));
    this.on<PointerEvent>('pointerleave', ({ pointerType }) => {
      if (pointerType !== 'touch' && this.readout?.source === 'pointer') this.read(null);
    });
    this.on<KeyboardEvent>('keydown', (event, model, stage) => this.pressed(event, model, stage));
    this.on<MouseEvent>('click', ({ target }) => {
      const id = (target as Element | null)?.getAttribute?.('data-place');
      if (id) this.handlers.onPlace?.(id);
    });
  }

  zoomIn(): void {
    this.zoom?.zoomIn();
  }

  zoomOut(): void {
    this.zoom?.zoomOut();
  }

  resetZoom(): void {
    this.zoom?.reset();
  }

  scales(): MapStage | null {
    return this.axes;
  }

  override destroy(): void {
    super.destroy();
    this.isDestroyed = true;
    this.zoom?.destroy();
  }

  private startZoom(create: typeof createMapZoom): void {
    this.zoom = create(this.svg, () => this.set({ zoomed: {} }));
    this.set({ zoom: this.zoom });
  }

  /** A read-out on an operating point goes with the point when the line moves. */
  private keepReadoutOn(model: MapPlotModel): void {
    if (model.operatingLines !== this.model?.operatingLines) this.readout = readoutOnLine(model, this.readout);
    this.remember({ readout: this.readout, lines: this.described() });
  }

  private described(): readonly string[] {
    return (this.readout && this.handlers.describe?.(this.readout)) ?? [];
  }

  private read(readout: MapReadout | null): void {
    const before = this.readout;
    if (readout === null && before === null) return;
    this.readout = readout;
    const lines = this.described();
    this.set({ readout, lines });
    this.handlers.onHover?.(readout);
    const [was, is] = [before?.near ?? null, readout?.near ?? null];
    if (was?.lineId !== is?.lineId || was?.engineSpeedRpm !== is?.engineSpeedRpm) this.handlers.onEngineSpeed?.(is);
    if (readout?.source === 'keyboard') this.handlers.announce?.(lines.join(', '));
  }

  private pointed(event: PointerEvent, model: MapPlotModel, stage: MapStage): void {
    const { left, right, top, bottom } = stage.frame;
    const [x, y] = pointer(event, this.svg);
    const isDragging = event.type === 'pointermove' && event.buttons !== 0 && event.pointerType !== 'touch';
    if (isDragging || x < left || x > right || y < top || y > bottom) {
      if (this.readout?.source === 'pointer') this.read(null);
      return;
    }
    const near = nearestReadout(model, stage, { x, y }, REACH);
    this.read(near ?? { at: toData(stage, { x, y }), near: null, source: 'pointer' });
  }

  private pressed(event: KeyboardEvent, model: MapPlotModel, scales: MapStage): void {
    const hasLine = model.operatingLines.some((_, index) => standablePoints(model, index).length > 0);
    const mode = hasLine ? (this.mode ?? 'line') : 'place';
    const action = mapKey(event, { model, scales, readout: this.readout, mode }, this.zoom);
    if (!action) return;
    event.preventDefault();
    event.stopPropagation();
    this.mode = action.mode ?? this.mode;
    if (action.readout !== undefined) this.read(action.readout);
  }
}

const KIND: ChartKind<MapPlotModel, MapPlotHandlers, MapState, MapStage> = {
  ...MAP,
  name: 'map plot',
  keys: () =>
    'Arrow keys read along the operating line or the map, Enter changes between the two, Shift moves faster, Alt with arrows pans, plus, minus and zero zoom.',
  framed: ({ chart, operatingLines, second, axes, wordsElsewhere, zoom, zoomed }) => [
    ...[chart, second, axes, wordsElsewhere, zoom, zoomed],
    // Without a legend the lines move the axes by their reach alone, which mostly stays within a step.
    ...(wordsElsewhere ? Object.values(holdingExtent(chart, operatingLines)) : [operatingLines]),
  ],
  axes(model, size) {
    const frame = mapFrame(model, size);
    model.zoom?.setBase(frame.base);
    return mapStage(model, size, frame, model.zoom?.transform() ?? NOT_ZOOMED);
  },
  state: { readout: null, lines: [], zoom: null, zoomed: {} },
};

let instances = 0;

/** A live map plot in an SVG element that the caller owns. Draws nothing before the first `update`. */
export function createMapPlot(
  svg: SVGSVGElement,
  palette: Palette,
  handlers: MapPlotHandlers,
  size: PlotSize,
  id = `map-plot-${++instances}`,
): MapPlotController {
  return new LiveMap(svg, palette, handlers, size, id);
}

interface MapPlotProps extends ChartProps<MapPlotModel, MapPlotHandlers> {
  /** What it is called where it is read out. */
  kind?: string;
  /** For controls beside the map. */
  ref?: Ref<MapPlotController>;
}

const create = (svg: SVGSVGElement, palette: Palette, size: PlotSize) => createMapPlot(svg, palette, {}, size);
const CROSSHAIR = { cursor: 'crosshair' };

/** The map plot in React. */
export function MapPlot({ kind = 'compressor map', ...props }: MapPlotProps) {
  return <ChartHost {...props} create={create} kind={kind} keys={KIND.keys(props.model)} style={CROSSHAIR} />;
}
