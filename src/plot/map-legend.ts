import type { LegendItem } from './legend-layout.ts';
import type { MapChart, PlotOperatingLine } from './map-plot-model.ts';

function hasExtended(chart: MapChart, lines: readonly PlotOperatingLine[]): boolean {
  return (
    chart.speedLines.some((line) => line.kind === 'extended') ||
    chart.surgeLine.some((piece) => piece.extended) ||
    lines.some((line) => line.points.some((point) => point?.extended))
  );
}

/** What the drawing's lines are, in reading order. Surge line, choke end and rated speed are labelled on the line itself. */
export function mapLegend(chart: MapChart, lines: readonly PlotOperatingLine[]): LegendItem[] {
  const items: LegendItem[] = lines.map((line) => ({
    swatch: line.style === 'a' ? 'candidate-a' : 'candidate-b',
    text: line.name,
  }));
  if (lines.some((line) => line.points.some((point) => point?.marked))) {
    items.push({ swatch: 'none', text: 'Marks: engine speed, rpm' });
  }
  if (chart.speedLines.length > 0) items.push({ swatch: 'speed-line', text: chart.speedLabelNote });
  if (chart.islands.length > 0) items.push({ swatch: 'island', text: chart.islandLabelNote });
  if (chart.sheetPoints.length > 0) items.push({ swatch: 'sheet-point', text: 'Point as entered' });
  if (hasExtended(chart, lines)) items.push({ swatch: 'extended', text: 'Extended beyond the sheet' });
  return items;
}
