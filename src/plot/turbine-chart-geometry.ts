import { linePath, pixelRuns } from './pixel-path.ts';
import type { PixelPoint } from './pixel-point.ts';
import type { SmallChart } from './small-chart.ts';
import type { PlotCapacity, PlotTurbineEngine, PlotTurbinePoint, RatioAndFlow } from './turbine-chart-model.ts';

/** An engine point in pixels, with the place of the whole exhaust above it. */
export interface EnginePixel extends PixelPoint {
  point: PlotTurbinePoint;
  wholeY: number;
}

export interface CurvePixels {
  line: string;
  extendedLine: string;
  /** All of it, for labels beside it. */
  run: readonly PixelPoint[];
  chokesAt: PixelPoint | null;
}

export function pixelOf(chart: SmallChart, { expansionRatio, flow }: RatioAndFlow): PixelPoint {
  return { x: chart.x(expansionRatio), y: chart.y(flow) };
}

function isFinitePixel({ x, y }: PixelPoint): boolean {
  return Number.isFinite(x) && Number.isFinite(y);
}

/** The curves of a turbine in pixels. A segment is extended where either end is. */
export function curvePixels({ curves }: PlotCapacity, chart: SmallChart): CurvePixels[] {
  return curves.map(({ points, chokesAt }) => {
    const runs: { entered: PixelPoint[][]; extended: PixelPoint[][] } = { entered: [], extended: [] };
    let before: { at: PixelPoint; extended: boolean } | null = null;
    let kind: 'entered' | 'extended' | null = null;
    for (const point of points) {
      const at = pixelOf(chart, point);
      if (!isFinitePixel(at)) {
        before = null;
        kind = null;
        continue;
      }
      if (before !== null) {
        const here: 'entered' | 'extended' = before.extended || point.extended ? 'extended' : 'entered';
        if (here !== kind) runs[here].push([before.at]);
        runs[here].at(-1)?.push(at);
        kind = here;
      }
      before = { at, extended: point.extended };
    }
    return {
      line: linePath(runs.entered),
      extendedLine: linePath(runs.extended),
      run: points.map((point) => pixelOf(chart, point)).filter(isFinitePixel),
      chokesAt: chokesAt === null ? null : pixelOf(chart, chokesAt),
    };
  });
}

/** The band of an estimate: out along its upper edge and back along its lower, and the edges alone. */
export function bandPixels({ band }: PlotCapacity, chart: SmallChart): { fill: string; edges: string } {
  const edge = (side: 'low' | 'high') =>
    pixelRuns(band?.points ?? [], (p) => pixelOf(chart, { expansionRatio: p.expansionRatio, flow: p[side] }));
  const [low, high] = [edge('low'), edge('high')];
  return {
    fill: high.map((run, i) => linePath([[...run, ...(low[i] ?? []).toReversed()]], true)).join(''),
    edges: linePath([...low, ...high]),
  };
}

/** The engine's points in pixels; null where there is none. */
export function enginePixels({ points }: PlotTurbineEngine, chart: SmallChart): (EnginePixel | null)[] {
  return points.map((point) => {
    if (point === null) return null;
    const at = { ...pixelOf(chart, point), wholeY: chart.y(point.wholeExhaust), point };
    return isFinitePixel(at) && Number.isFinite(at.wholeY) ? at : null;
  });
}
