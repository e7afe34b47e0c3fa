import { pointer, select } from 'd3-selection';
import type { HostedChart } from './chart-host.tsx';
import type { PlotSize } from './map-scales.ts';
import type { Palette } from './palette.ts';
import type { PixelPoint } from './pixel-point.ts';
import type { SmallChart } from './small-chart.ts';
import { SmallChartDrawing } from './small-chart-drawing.ts';
import { TurbineDrawing } from './turbine-chart-drawing.ts';
import { enginePixels } from './turbine-chart-geometry.ts';
import type { TurbineChartModel } from './turbine-chart-model.ts';
import { drawTurbinePointed, turbineText } from './turbine-chart-pointed.ts';

/** The engine speed that is pointed at. */
export interface TurbinePointed {
  engineSpeedRpm: number;
  /** 'press' and 'key' mean it; 'pointer' only passes over it. */
  by: 'pointer' | 'press' | 'key';
}

export interface TurbineChartHandlers {
  /** null when the pointer left. The owner answers through the model's focus. */
  onPoint?: ((pointed: TurbinePointed | null) => void) | undefined;
  /** Text for a live region after a key. */
  announce?: ((text: string) => void) | undefined;
}

export type TurbineChartController = HostedChart<TurbineChartModel, TurbineChartHandlers>;

/** Reach of the pointer to a point or to the stem above it, pixels. */
const REACH = 30;

class TurbineChartDrawing extends SmallChartDrawing<TurbineChartModel, TurbineChartHandlers> {
  private drawing: TurbineDrawing | null = null;

  constructor(...args: ConstructorParameters<typeof SmallChartDrawing<TurbineChartModel, TurbineChartHandlers>>) {
    super(...args);
    select(this.svg)
      .on('pointermove.chart pointerdown.chart', (event: PointerEvent) => this.pointed(event))
      .on('pointerleave.chart', () => this.handlers.onPoint?.(null))
      .on('keydown.chart', (event: KeyboardEvent) => this.key(event));
  }

  protected isSameDrawing(before: TurbineChartModel, after: TurbineChartModel): boolean {
    return (['maxRatio', 'flowAxis', 'capacities', 'engines'] as const).every((part) => before[part] === after[part]);
  }

  protected drawWhole(model: TurbineChartModel): SmallChart {
    if (this.drawing?.layers !== this.layers) this.drawing = new TurbineDrawing(this.layers, this.palette);
    return this.drawing.draw(model, this.size);
  }

  protected drawPointed(model: TurbineChartModel, chart: SmallChart): void {
    drawTurbinePointed(this.layers, model, chart, this.palette, {
      frame: chart.frame,
      taken: this.drawing?.labelBoxes ?? [],
      lines: this.drawing?.softLines ?? [],
    });
  }

  private pointed(event: PointerEvent): void {
    if (!this.model || !this.chart) return;
    const [x, y] = pointer(event, this.svg);
    const rpm = this.speedNear({ x, y });
    const by = event.type === 'pointerdown' ? 'press' : 'pointer';
    if (rpm === this.model.focusRpm && by === 'pointer') return;
    this.handlers.onPoint?.(rpm === null ? null : { engineSpeedRpm: rpm, by });
  }

  private speedNear(pixel: PixelPoint): number | null {
    let best: number | null = null;
    let least = REACH;
    for (const engine of this.model!.engines) {
      for (const at of enginePixels(engine, this.chart!)) {
        if (at === null) continue;
        const y = Math.min(at.y, Math.max(at.wholeY, pixel.y));
        const away = Math.hypot(at.x - pixel.x, y - pixel.y);
        if (away >= least) continue;
        least = away;
        best = at.point.engineSpeedRpm;
      }
    }
    return best;
  }

  private key(event: KeyboardEvent): void {
    const { model } = this;
    if (!model || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === 'Escape' && model.focusRpm !== null) this.handlers.onPoint?.(null);
    const speeds = speedsOf(model);
    const target = steppedSpeed(event, speeds, model.focusRpm);
    if (target === undefined) return;
    event.preventDefault();
    this.handlers.onPoint?.({ engineSpeedRpm: target, by: 'key' });
    this.handlers.announce?.(turbineText(model, target));
  }
}

/** Engine speeds that have a point, rising, each once. */
function speedsOf({ engines }: TurbineChartModel): number[] {
  const speeds = engines.flatMap(({ points }) => points.flatMap((point) => point?.engineSpeedRpm ?? []));
  return [...new Set(speeds)].sort((a, b) => a - b);
}

function steppedSpeed(event: KeyboardEvent, speeds: readonly number[], focus: number | null): number | undefined {
  const last = speeds.length - 1;
  const step = event.shiftKey ? 5 : 1;
  const nearest = speeds.reduce(
    (best, rpm, i) => (Math.abs(rpm - focus!) < Math.abs((speeds[best] ?? 0) - focus!) ? i : best),
    0,
  );
  const targets: Readonly<Record<string, number>> = {
    ArrowLeft: focus === null ? last : Math.max(0, nearest - step),
    ArrowRight: focus === null ? 0 : Math.min(last, nearest + step),
    Home: 0,
    End: last,
  };
  return speeds[targets[event.key] ?? -1];
}

let instances = 0;

/** A live turbine chart in an SVG element that the caller owns. */
export function createTurbineChart(
  svg: SVGSVGElement,
  palette: Palette,
  handlers: TurbineChartHandlers,
  size: PlotSize,
  idPrefix = `turbine-chart-${++instances}`,
): TurbineChartController {
  return new TurbineChartDrawing(svg, palette, handlers, size, idPrefix);
}
