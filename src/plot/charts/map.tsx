import { pointer, select } from 'd3-selection';
import { type Ref, useImperativeHandle, useLayoutEffect, useRef } from 'react';
import { useMeasuredSize } from '../frame/ChartHost.tsx';
import styles from '../frame/chart-view.module.css';
import type { PixelPoint } from '../frame/pixels.ts';
import { speedLabelChanges } from '../marks/map-surface.ts';
import type { Palette } from '../palette.ts';
import { createMapDrawing, type MapDrawing, type MapFrame, mapFrame } from './map-drawing.ts';
import type { MapChart, MapPlotModel } from './map-model.ts';
import {
  createMapZoom,
  type MapReadout,
  mapKey,
  type NearPoint,
  nearestReadout,
  type ReadoutMode,
  standablePoints,
} from './map-reading.ts';
import { type MapScales, type PlotSize, toData, zoomedScales } from './map-scales.ts';

export interface MapPlotHandlers {
  /** The read-out moved (pointer or keys); null when it left. */
  onHover?: ((readout: MapReadout | null) => void) | undefined;
  /** The operating point under the read-out changed; null when none is near. For linked charts and tables. */
  onEngineSpeed?: ((near: NearPoint | null) => void) | undefined;
  /** Lines to show beside the read-out point, values with their units; first line is the heading. Also spoken for keyboard users. */
  describe?: ((readout: MapReadout) => readonly string[]) | undefined;
  /** Text for a live region: called after a keyboard move. */
  announce?: ((text: string) => void) | undefined;
  /** For showing or hiding a reset button. */
  onZoom?: ((state: { isZoomed: boolean; factor: number }) => void) | undefined;
  /** A place was clicked. */
  onPlace?: ((id: string) => void) | undefined;
  onMode?: ((mode: ReadoutMode) => void) | undefined;
}

export interface MapPlotController {
  /** Draws only what changed, by identity. */
  update(model: MapPlotModel): void;
  resize(size: PlotSize): void;
  setPalette(palette: Palette): void;
  setHandlers(handlers: MapPlotHandlers): void;
  zoomIn(): void;
  zoomOut(): void;
  resetZoom(): void;
  /** The scales in use, for tests and for drawing over the plot; null before the first update. */
  scales(): MapScales | null;
  destroy(): void;
}

/** Reach of the pointer to an operating point, pixels. */
const REACH = 16;

class LiveMapPlot implements MapPlotController {
  private drawing: MapDrawing;
  private model: MapPlotModel | null = null;
  private frame: MapFrame | null = null;
  private current: MapScales | null = null;
  private readout: MapReadout | null = null;
  private mode: ReadoutMode | null = null;
  private readonly zoom;

  constructor(
    private readonly svg: SVGSVGElement,
    private palette: Palette,
    private handlers: MapPlotHandlers,
    private size: PlotSize,
    private readonly idPrefix: string,
  ) {
    this.drawing = createMapDrawing(svg, palette, idPrefix);
    this.zoom = createMapZoom(svg, () => this.zoomed());
    select(svg)
      .on('pointermove.readout pointerdown.readout', (event: PointerEvent) => this.pointed(event))
      .on('pointerleave.readout', (event: PointerEvent) => {
        if (event.pointerType !== 'touch' && this.readout?.source === 'pointer') this.read(null);
      })
      .on('keydown.readout', (event: KeyboardEvent) => this.key(event))
      .on('click.place', (event: MouseEvent) => {
        const id = (event.target as Element | null)?.getAttribute?.('data-place');
        if (id) this.handlers.onPlace?.(id);
      });
  }

  update(model: MapPlotModel): void {
    const before = this.model;
    this.model = model;
    const isNewChart =
      before?.second !== model.second ||
      (before?.chart !== model.chart && !this.relabelled(before?.chart, model.chart));
    const areNewLines = before?.operatingLines !== model.operatingLines;
    const areNewAxes = before?.axes !== model.axes || before?.legendElsewhere !== model.legendElsewhere;
    const isNewFrame = (isNewChart || areNewLines || areNewAxes) && this.reframe();
    if (isNewChart || isNewFrame) {
      this.drawAll();
      return;
    }
    if (areNewLines) {
      this.drawing.operatingLines(model, this.current!, this.isWhole());
      this.keepReadoutOnLine();
    }
    if (areNewLines || before?.places !== model.places) this.drawing.places(model, this.current!);
    if (areNewLines || before?.focus !== model.focus) this.drawReadout();
  }

  resize(size: PlotSize): void {
    if (size.width === this.size.width && size.height === this.size.height) return;
    this.size = size;
    if (this.model && this.reframe()) this.drawAll();
  }

  setPalette(palette: Palette): void {
    if (palette === this.palette) return;
    this.palette = palette;
    this.drawing = createMapDrawing(this.svg, palette, this.idPrefix);
    this.frame = null;
    if (this.model && this.reframe()) this.drawAll();
  }

  setHandlers(handlers: MapPlotHandlers): void {
    this.handlers = handlers;
  }

  zoomIn(): void {
    this.zoom.zoomIn();
  }

  zoomOut(): void {
    this.zoom.zoomOut();
  }

  resetZoom(): void {
    this.zoom.reset();
  }

  scales(): MapScales | null {
    return this.current;
  }

  destroy(): void {
    this.zoom.destroy();
    select(this.svg).on('.readout', null).on('.place', null);
  }

  /** Whether setting a few texts made the drawn chart that of the model. */
  private relabelled(before: MapChart | undefined, after: MapChart): boolean {
    const changes = before && this.frame ? speedLabelChanges(before, after) : null;
    if (changes) this.drawing.relabel(changes);
    return changes !== null;
  }

  /** Works the frame out again; true when it is another one than before. */
  private reframe(): boolean {
    const frame = mapFrame(this.model!, this.size);
    const key = (f: MapFrame | null) =>
      f && JSON.stringify([f.legend, f.base.frame, f.base.x.domain(), f.base.y.domain()]);
    if (key(frame) === key(this.frame)) return false;
    this.frame = frame;
    this.zoom.setBase(frame.base);
    this.drawing.fit(this.size, frame);
    return true;
  }

  private isWhole(): boolean {
    return this.zoom.transform().k < 1.0001;
  }

  private drawAll(): void {
    const model = this.model!;
    this.current = zoomedScales(this.frame!.base, this.zoom.transform());
    this.drawing.chart(model, this.current);
    this.drawing.operatingLines(model, this.current, this.isWhole());
    this.drawing.places(model, this.current);
    this.keepReadoutOnLine();
    this.drawReadout();
  }

  private zoomed(): void {
    if (!this.model) return;
    this.drawAll();
    const factor = this.zoom.transform().k;
    this.handlers.onZoom?.({ isZoomed: factor > 1.0001, factor });
  }

  /** A read-out on an operating point goes with the point when the line moves. */
  private keepReadoutOnLine(): void {
    const near = this.readout?.near;
    if (!near) return;
    const line = this.model!.operatingLines.findIndex((candidate) => candidate.id === near.lineId);
    const standing = standablePoints(this.model!, line).find(
      ({ point }) => point.engineSpeedRpm === near.engineSpeedRpm,
    );
    if (!standing) {
      this.readout = null;
      return;
    }
    const { correctedMassFlowKgPerS, pressureRatio } = standing.point;
    this.readout = {
      ...this.readout!,
      at: { correctedMassFlowKgPerS, pressureRatio },
      near: { ...near, index: standing.index },
    };
  }

  private shownReadout(): MapReadout | null {
    const focus = this.model?.focus;
    return this.readout ?? (focus ? { at: focus, near: null, source: 'model' } : null);
  }

  private drawReadout(): readonly string[] {
    const shown = this.shownReadout();
    const lines = shown && shown.source !== 'model' ? (this.handlers.describe?.(shown) ?? []) : [];
    this.drawing.readout(this.model!, this.current!, shown, lines);
    return lines;
  }

  private read(readout: MapReadout | null): void {
    const before = this.readout;
    if (readout === null && before === null) return;
    this.readout = readout;
    const lines = this.drawReadout();
    this.handlers.onHover?.(readout);
    const [was, is] = [before?.near ?? null, readout?.near ?? null];
    if (was?.lineId !== is?.lineId || was?.engineSpeedRpm !== is?.engineSpeedRpm) this.handlers.onEngineSpeed?.(is);
    if (readout?.source === 'keyboard') this.handlers.announce?.(lines.join(', '));
  }

  private pointed(event: PointerEvent): void {
    if (!this.model || !this.current) return;
    const { left, right, top, bottom } = this.current.frame;
    const [x, y] = pointer(event, this.svg);
    const isDragging = event.type === 'pointermove' && event.buttons !== 0 && event.pointerType !== 'touch';
    if (isDragging || x < left || x > right || y < top || y > bottom) {
      if (this.readout?.source === 'pointer') this.read(null);
      return;
    }
    this.read(this.readoutUnder({ x, y }));
  }

  private readoutUnder(pixel: PixelPoint): MapReadout {
    const near = nearestReadout(this.model!, this.current!, pixel, REACH);
    return near ?? { at: toData(this.current!, pixel), near: null, source: 'pointer' };
  }

  private key(event: KeyboardEvent): void {
    if (!this.model || !this.current) return;
    const hasLine = this.model.operatingLines.some((_, index) => standablePoints(this.model!, index).length > 0);
    const mode = hasLine ? (this.mode ?? 'line') : 'place';
    const state = { model: this.model, scales: this.current, readout: this.readout, mode };
    const action = mapKey(event, state, this.zoom);
    if (!action) return;
    event.preventDefault();
    event.stopPropagation();
    if (action.mode && action.mode !== mode) {
      this.mode = action.mode;
      this.handlers.onMode?.(action.mode);
    }
    if (action.readout !== undefined) this.read(action.readout);
  }
}

let instances = 0;

/** A live map plot in an SVG element that the caller owns. Draws nothing before the first `update`. */
export function createMapPlot(
  svg: SVGSVGElement,
  palette: Palette,
  handlers: MapPlotHandlers,
  size: PlotSize,
  idPrefix = `map-plot-${++instances}`,
): MapPlotController {
  return new LiveMapPlot(svg, palette, handlers, size, idPrefix);
}

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

const MAP_KEYS =
  'Arrow keys read along the operating line or the map, Enter changes between the two, Shift moves faster, Alt with arrows pans, plus, minus and zero zoom.';
const NO_MAP_HANDLERS: MapPlotHandlers = {};

/** The map plot in React: the element and its size are React's, everything inside is drawn imperatively. */
export function MapPlot({
  model,
  palette,
  handlers = NO_MAP_HANDLERS,
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
        aria-label={`${label}. ${MAP_KEYS}`}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: it is operated with the keyboard
        tabIndex={0}
      />
      <div ref={spoken} className={styles.spoken} role="status" aria-live="polite" />
    </div>
  );
}
