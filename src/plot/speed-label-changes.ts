import type { MapChart, PlotIsland, PlotSpeedLine } from './map-plot-model.ts';

/**
 * When the day's air changes a little, all that changes on a map is a digit of a speed label here and there: 'new text for old', so that
 * the texts alone are set and nothing is placed or drawn anew.
 * @returns null when anything else differs, when a label needs another width, or when two lines share a label.
 */
export function speedLabelChanges(before: MapChart, after: MapChart): ReadonlyMap<string, string> | null {
  if (!isSameButSpeedLabels(before, after)) return null;
  const changes = new Map<string, string>();
  const known = new Set<string>();
  for (const [index, { label }] of before.speedLines.entries()) {
    const next = after.speedLines[index]!.label;
    if (known.has(label) || next.length !== label.length) return null;
    known.add(label);
    if (next !== label) changes.set(label, next);
  }
  return changes;
}

function isSameButSpeedLabels(a: MapChart, b: MapChart): boolean {
  const rated = a.ratedSpeedLine;
  const ratedNow = b.ratedSpeedLine;
  return (
    a.letter === b.letter &&
    a.flowAxis.title === b.flowAxis.title &&
    a.flowAxis.unit === b.flowAxis.unit &&
    a.flowAxis.perKgPerS === b.flowAxis.perKgPerS &&
    a.ratioAxis.title === b.ratioAxis.title &&
    a.extent.minFlowKgPerS === b.extent.minFlowKgPerS &&
    a.extent.maxFlowKgPerS === b.extent.maxFlowKgPerS &&
    a.extent.minPressureRatio === b.extent.minPressureRatio &&
    a.extent.maxPressureRatio === b.extent.maxPressureRatio &&
    a.speedLabelNote === b.speedLabelNote &&
    a.islandLabelNote === b.islandLabelNote &&
    a.surgeLine === b.surgeLine &&
    a.chokeEnd === b.chokeEnd &&
    (a.sheetPoints === b.sheetPoints || a.sheetPoints.length + b.sheetPoints.length === 0) &&
    (rated === ratedNow || (rated?.pieces === ratedNow?.pieces && rated?.label === ratedNow?.label)) &&
    areAlike(a.speedLines, b.speedLines, isSameLine) &&
    areAlike(a.islands, b.islands, isSameIsland)
  );
}

function areAlike<T>(a: readonly T[], b: readonly T[], isSame: (x: T, y: T) => boolean): boolean {
  return a.length === b.length && a.every((item, index) => isSame(item, b[index]!));
}

function isSameLine(a: PlotSpeedLine, b: PlotSpeedLine): boolean {
  return a.points === b.points && a.kind === b.kind && a.isRated === b.isRated;
}

function isSameIsland(a: PlotIsland, b: PlotIsland): boolean {
  return a.contour === b.contour && a.label === b.label;
}
