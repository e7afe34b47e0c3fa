import type { LegendItem, LegendLayout } from './legend-layout.ts';
import type { MapChart, PlotOperatingLine } from './map-plot-model.ts';

const TURBINE: LegendItem = { swatch: 'turbine-limited', text: 'Turbine-limited: gate shut' };
const CEILING: LegendItem = { swatch: 'ceiling-limited', text: 'Ceiling-limited: over a limit at the goal' };

function hasTurbinePart(lines: readonly PlotOperatingLine[]): boolean {
  return lines.some((line) => line.points.some((point) => point?.part === 'turbine'));
}

/** Marks whose meaning a reader of paper has nothing else to learn from. */
function markItems(lines: readonly PlotOperatingLine[]): LegendItem[] {
  const points = lines.flatMap((line) => line.points);
  const has = (severity: 'stop' | 'caution') => points.some((p) => p?.marked && !p.unmet && p.severity === severity);
  const items: LegendItem[] = [];
  if (hasTurbinePart(lines)) items.push(TURBINE);
  if (points.some((point) => point?.part === 'ceiling')) items.push(CEILING);
  if (has('caution')) items.push({ swatch: 'caution', text: 'Caution' });
  if (has('stop')) items.push({ swatch: 'stop', text: 'Limit crossed' });
  if (points.some((point) => point?.unmet)) items.push({ swatch: 'unmet', text: 'Demand that the map cannot meet' });
  return items;
}

/**
 * What the drawing's lines are, in reading order. Surge line, choke end and rated speed are labelled on the line itself. On screen the
 * room it takes depends on the map and the candidates only, never on where the operating lines run: the frame must not jump.
 */
export function mapLegend(
  chart: MapChart,
  lines: readonly PlotOperatingLine[],
  isForPaper: boolean,
  second?: MapChart,
): LegendItem[] {
  const items: LegendItem[] = lines
    .filter((line) => !line.faint)
    .map((line) => ({
      swatch: line.style === 'a' ? 'candidate-a' : 'candidate-b',
      text: line.name,
    }));
  if (lines.some((line) => line.spread !== undefined)) {
    items.push({ swatch: 'none', text: 'Bars: from the 10th to the 90th of a hundred samples' });
  }
  if (lines.length > 0) items.push({ swatch: 'none', text: 'Marks: engine speed, rpm' });
  if (chart.speedLines.length > 0) items.push({ swatch: 'speed-line', text: chart.speedLabelNote });
  if (second !== undefined)
    items.push({ swatch: 'none', text: `Map of ${second.letter ?? 'the second'}: all its lines dashed` });
  if (chart.islands.length > 0) items.push({ swatch: 'island', text: chart.islandLabelNote });
  if (chart.sheetPoints.length > 0) items.push({ swatch: 'sheet-point', text: 'Point as entered' });
  const hasExtension = [...chart.surgeLine, ...chart.chokeEnd].some((piece) => piece.extended);
  if (lines.length > 0 || hasExtension || chart.speedLines.some((line) => line.kind === 'extended')) {
    items.push({ swatch: 'extended', text: 'Extended beyond the sheet' });
  }
  if (isForPaper) return [...items, ...markItems(lines)];
  return lines.some((line) => line.driven) ? [...items, TURBINE] : items;
}

/** Without what no line shows at the moment; it is last, so that leaving it out moves nothing. */
export function shownLegend(layout: LegendLayout, lines: readonly PlotOperatingLine[]): LegendLayout {
  if (hasTurbinePart(lines)) return layout;
  return { ...layout, items: layout.items.filter(({ swatch }) => swatch !== TURBINE.swatch) };
}
