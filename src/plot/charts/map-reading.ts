import type { PixelPoint } from '../frame/pixels.ts';
import {
  type MapPlotModel,
  type MapReadout,
  type MapScales,
  type PlotOperatingPoint,
  toData,
  toPixel,
} from './map-model.ts';
import type { MapZoom } from './map-zoom.ts';

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
function readoutOn(
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

/** A read-out that goes with its operating point when the line moves; null when the point is gone. */
export function readoutOnLine(model: MapPlotModel, readout: MapReadout | null): MapReadout | null {
  const near = readout?.near;
  if (!readout || !near) return readout;
  const line = model.operatingLines.findIndex(({ id }) => id === near.lineId);
  const standing = standablePoints(model, line).find(({ point }) => point.engineSpeedRpm === near.engineSpeedRpm);
  return standing ? readoutOn(model, line, standing.index, readout.source) : null;
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

/** 'line': the read-out walks along an operating line by engine speed. 'place': it moves freely over the map. */
export type ReadoutMode = 'line' | 'place';

interface KeyboardState {
  model: MapPlotModel;
  scales: MapScales;
  readout: MapReadout | null;
  mode: ReadoutMode;
}

interface KeyboardAction {
  /** Left out: as it was. */
  readout?: MapReadout | null;
  mode?: ReadoutMode;
}

const STEP = 6;
const FAST = 5;
const PAN = 40;
const ARROWS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

function currentLine(state: KeyboardState): number {
  const id = state.readout?.near?.lineId;
  const index = state.model.operatingLines.findIndex((line) => line.id === id);
  if (index >= 0) return index;
  return Math.max(
    0,
    state.model.operatingLines.findIndex((_, i) => standablePoints(state.model, i).length > 0),
  );
}

function walk(state: KeyboardState, by: number): KeyboardAction {
  const line = currentLine(state);
  const points = standablePoints(state.model, line);
  const last = points.length - 1;
  const standing = points.findIndex(({ index }) => index === state.readout?.near?.index);
  const next = standing < 0 ? (by < 0 ? last : 0) : Math.min(last, Math.max(0, standing + by));
  const target = points[next];
  return target ? { readout: readoutOn(state.model, line, target.index, 'keyboard') } : {};
}

function toEnd(state: KeyboardState, isFirst: boolean): KeyboardAction {
  const line = currentLine(state);
  const target = standablePoints(state.model, line).at(isFirst ? 0 : -1);
  return target ? { readout: readoutOn(state.model, line, target.index, 'keyboard') } : {};
}

function changeLine(state: KeyboardState, by: number): KeyboardAction {
  const line = currentLine(state);
  const next = line + by;
  const points = standablePoints(state.model, next);
  if (points.length === 0) return {};
  const speed = state.readout?.near?.engineSpeedRpm ?? points[0]!.point.engineSpeedRpm;
  const nearest = points.reduce((best, candidate) =>
    Math.abs(candidate.point.engineSpeedRpm - speed) < Math.abs(best.point.engineSpeedRpm - speed) ? candidate : best,
  );
  return { readout: readoutOn(state.model, next, nearest.index, 'keyboard') };
}

function move({ scales, readout }: KeyboardState, u: number, v: number, step: number): KeyboardAction {
  const { left, right, top, bottom } = scales.frame;
  const from = readout ? toPixel(scales, readout.at) : { x: (left + right) / 2, y: (top + bottom) / 2 };
  const to = readout ? { x: from.x + u * step, y: from.y + v * step } : from;
  const held = { x: Math.min(right, Math.max(left, to.x)), y: Math.min(bottom, Math.max(top, to.y)) };
  return { readout: { at: toData(scales, held), near: null, source: 'keyboard' } };
}

function toggled(state: KeyboardState): KeyboardAction {
  if (state.mode === 'line') return { mode: 'place', readout: { ...move(state, 0, 0, 0).readout!, near: null } };
  return { mode: 'line', ...walk({ ...state, readout: null }, 1) };
}

/**
 * What a key does on the focused plot; null when the key is not the plot's (the page keeps it).
 * Arrows: along the operating line (up and down change the candidate) or freely; Shift: five times as far; Alt: pan. Home, End: ends of the line.
 * Enter or L: line or place. + - 0: zoom. Escape: clears the read-out.
 */
export function mapKey(event: KeyboardEvent, state: KeyboardState, zoom: MapZoom | null): KeyboardAction | null {
  if (event.ctrlKey || event.metaKey) return null;
  const arrow = ARROWS[event.key];
  if (arrow) {
    const [u, v] = arrow;
    if (event.altKey) {
      zoom?.panBy(-u * PAN, -v * PAN);
      return {};
    }
    const times = event.shiftKey ? FAST : 1;
    if (state.mode === 'place') return move(state, u, v, STEP * times);
    return v === 0 ? walk(state, u * times) : changeLine(state, v);
  }
  const about = state.readout ? toPixel(state.scales, state.readout.at) : null;
  const centre: [number, number] | undefined = about ? [about.x, about.y] : undefined;
  switch (event.key) {
    case 'Home':
    case 'End':
      return state.mode === 'line' ? toEnd(state, event.key === 'Home') : null;
    case 'Enter':
    case 'l':
    case 'L':
      return toggled(state);
    case '+':
    case '=':
      zoom?.zoomIn(centre);
      return {};
    case '-':
      zoom?.zoomOut(centre);
      return {};
    case '0':
      zoom?.reset();
      return {};
    case 'Escape':
      return state.readout ? { readout: null } : null;
    default:
      return null;
  }
}
