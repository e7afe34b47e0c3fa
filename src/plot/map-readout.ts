import type { FlowAndRatio } from '../compressor/types.ts';
import type { MapPlotModel, PlotOperatingPoint } from './map-plot-model.ts';
import { type MapScales, toPixel } from './map-scales.ts';
import type { PixelPoint } from './pixel-point.ts';

/** The operating point that the read-out stands on. */
export interface NearPoint {
  lineId: string;
  /** Index into the line's points. */
  index: number;
  engineSpeedRpm: number;
}

/** What is being read: a place of the map, or an operating point of one engine speed. */
export interface MapReadout {
  at: FlowAndRatio;
  near: NearPoint | null;
  source: 'pointer' | 'keyboard' | 'model';
}

/** The operating points that can be stood on: present and finite, in rising engine speed. */
export function standablePoints(
  model: MapPlotModel,
  lineIndex: number,
): { point: PlotOperatingPoint; index: number }[] {
  const points = model.operatingLines[lineIndex]?.points ?? [];
  const standable: { point: PlotOperatingPoint; index: number }[] = [];
  points.forEach((point, index) => {
    if (point && Number.isFinite(point.correctedMassFlowKgPerS) && Number.isFinite(point.pressureRatio)) {
      standable.push({ point, index });
    }
  });
  return standable;
}

/** A read-out on an operating point. */
export function readoutOn(
  model: MapPlotModel,
  lineIndex: number,
  index: number,
  source: MapReadout['source'],
): MapReadout | null {
  const line = model.operatingLines[lineIndex];
  const point = line?.points[index];
  if (!line || !point) return null;
  return {
    at: { correctedMassFlowKgPerS: point.correctedMassFlowKgPerS, pressureRatio: point.pressureRatio },
    near: { lineId: line.id, index, engineSpeedRpm: point.engineSpeedRpm },
    source,
  };
}

/** The operating point nearest to a pixel within `reach` pixels, as a read-out; null when none is near. */
export function nearestReadout(
  model: MapPlotModel,
  scales: MapScales,
  pixel: PixelPoint,
  reach: number,
): MapReadout | null {
  let best: { line: number; index: number } | null = null;
  let bestDistance = reach;
  model.operatingLines.forEach((_, line) => {
    for (const { point, index } of standablePoints(model, line)) {
      const at = toPixel(scales, point);
      const distance = Math.hypot(at.x - pixel.x, at.y - pixel.y);
      if (distance < bestDistance) {
        bestDistance = distance;
        best = { line, index };
      }
    }
  });
  const found = best as { line: number; index: number } | null;
  return found ? readoutOn(model, found.line, found.index, 'pointer') : null;
}
