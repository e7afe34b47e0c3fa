import { select } from 'd3';
import { writableText } from '../units/index.ts';
import { drawMapPlot } from './charts/map-drawing.ts';
import type { MapPlotModel } from './charts/map-model.ts';
import type { Axes } from './frame/axes.ts';
import { type ChartKind, liveChart } from './frame/live.ts';
import { lightPalette, type Palette } from './frame/looks.ts';
import { FONT_FAMILY, middle } from './frame/mark.ts';
import { type PlotSize, rounded, wrappedText } from './frame/pixels.ts';

export interface SvgSheet {
  /** The whole drawing, header and footer included, pixels. */
  size: PlotSize;
  palette: Palette;
  title: string;
  /** For a reader who cannot see the drawing. */
  description: string;
  /** Which map, which build, who and when: one line under the drawing. */
  provenance: string;
  /** The cautions that go with every number. */
  caution: string;
}

const SVG = 'http://www.w3.org/2000/svg';
const MARGIN = 12;
const TITLE = 16;
const FOOT = 11;
const FOOT_ROW = 15;

interface Furniture {
  titleRows: readonly string[];
  footRows: readonly { text: string; weight: 400 | 600 }[];
  top: number;
  bottom: number;
}

function furniture(sheet: SvgSheet): Furniture {
  // Room to spare: the file may be opened where only a wider face is at hand.
  const width = (sheet.size.width - 2 * MARGIN) / 1.25;
  const titleRows = wrappedText(sheet.title, TITLE, width);
  const footRows = [
    ...wrappedText(sheet.provenance, FOOT, width).map((text) => ({ text, weight: 400 as const })),
    ...wrappedText(sheet.caution, FOOT, width).map((text) => ({ text, weight: 600 as const })),
  ];
  return {
    titleRows,
    footRows,
    top: titleRows.length === 0 ? 0 : MARGIN + titleRows.length * TITLE * 1.3,
    bottom: footRows.length === 0 ? 0 : MARGIN / 2 + footRows.length * FOOT_ROW + MARGIN / 2,
  };
}

/** The room that is left for the drawing itself between title and footer. */
export function drawingSize(sheet: SvgSheet): PlotSize {
  const { top, bottom } = furniture(sheet);
  return { width: sheet.size.width, height: Math.max(120, Math.floor(sheet.size.height - top - bottom)) };
}

/**
 * A standalone SVG of a drawing: title above, provenance and cautions below, everything styled by attributes. The drawing should be
 * of `drawingSize(sheet)`; it is copied, not changed. Controls for pointer and keys are taken off the copy.
 */
export function exportSvg(drawing: SVGSVGElement, sheet: SvgSheet): string {
  const { titleRows, footRows, top, bottom } = furniture(sheet);
  const drawn = drawingSize(sheet);
  const width = sheet.size.width;
  const height = Math.ceil(top + drawn.height + bottom);
  const root = select(drawing.ownerDocument.createElementNS(SVG, 'svg') as SVGSVGElement)
    .attr('xmlns', SVG)
    .attr('width', width)
    .attr('height', height)
    .attr('viewBox', `0 0 ${width} ${height}`)
    .attr('role', 'img')
    .attr('font-family', FONT_FAMILY)
    .attr('style', 'font-variant-numeric: tabular-nums');
  root.append('title').text(sheet.title);
  root.append('desc').text([sheet.description, sheet.provenance, sheet.caution].filter((t) => t !== '').join(' '));
  root.append('rect').attr('width', width).attr('height', height).attr('fill', sheet.palette.paper);
  const write = (text: string, y: number, size: number, weight: number, fill: string) =>
    root
      .append('text')
      .attr('x', MARGIN)
      .attr('y', rounded(y + middle(size)))
      .attr('font-size', size)
      .attr('font-weight', weight)
      .attr('fill', fill)
      .text(text);
  titleRows.forEach((text, row) => {
    write(text, MARGIN + TITLE * 1.3 * (row + 0.5), TITLE, 600, sheet.palette.ink);
  });
  const copy = drawing.cloneNode(true) as SVGSVGElement;
  for (const name of copy.getAttributeNames()) {
    if (!['viewBox', 'width', 'height'].includes(name)) copy.removeAttribute(name);
  }
  for (const node of copy.querySelectorAll('[tabindex], [data-place], [style]')) {
    for (const name of node.getAttributeNames()) {
      if (/^(?:tabindex|role|style|aria-.*|data-.*)$/.test(name)) node.removeAttribute(name);
    }
  }
  copy.setAttribute('y', String(rounded(top)));
  root.node()!.appendChild(copy);
  footRows.forEach(({ text, weight }, row) => {
    const y = top + drawn.height + MARGIN / 2 + FOOT_ROW * (row + 0.5);
    write(text, y, FOOT, weight, sheet.palette.inkSoft);
  });
  return `<?xml version="1.0" encoding="UTF-8"?>\n${writableText(new XMLSerializer().serializeToString(root.node()!))}`;
}

/** A chart drawn once, for a file: in light colours, with an id that is unique in the drawing. */
export function drawChart<Model extends object, Handlers extends object, State extends object, S extends Axes>(
  kind: ChartKind<Model, Handlers, State, S>,
  model: Model,
  size: PlotSize,
  id: string,
): SVGSVGElement {
  const svg = document.createElementNS(SVG, 'svg') as SVGSVGElement;
  liveChart(kind, svg, lightPalette, {} as Handlers, size, id).update(model);
  return svg;
}

/** A standalone SVG of the map, drawn anew at the sheet's size and palette, unzoomed. Needs a document. */
export function exportMapSvg(model: MapPlotModel, sheet: SvgSheet): string {
  const svg = document.createElementNS(SVG, 'svg') as SVGSVGElement;
  drawMapPlot(svg, model, sheet.palette, drawingSize(sheet), 'map');
  return exportSvg(svg, sheet);
}

function loadedImage(url: string): Promise<HTMLImageElement> {
  return new Promise((resolve, reject) => {
    const image = new Image();
    image.onload = () => resolve(image);
    image.onerror = () => reject(new Error('The drawing could not be turned into a picture. Save it as SVG instead.'));
    image.src = url;
  });
}

/**
 * A PNG of a standalone SVG, `scale` times its size in pixels (2 to 3 for print). Rejects with a plain sentence when the browser
 * cannot draw or encode it.
 */
export async function exportPng(svg: string, scale: number): Promise<Blob> {
  const url = URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml;charset=utf-8' }));
  try {
    const image = await loadedImage(url);
    const canvas = document.createElement('canvas');
    canvas.width = Math.round(image.width * scale);
    canvas.height = Math.round(image.height * scale);
    const context = canvas.getContext('2d');
    if (!context) throw new Error('This browser gives no canvas to draw the picture on. Save it as SVG instead.');
    context.drawImage(image, 0, 0, canvas.width, canvas.height);
    return await new Promise<Blob>((resolve, reject) => {
      canvas.toBlob((blob) => {
        if (blob) resolve(blob);
        else reject(new Error('The picture is too large for this browser. Choose a smaller size or save it as SVG.'));
      }, 'image/png');
    });
  } finally {
    URL.revokeObjectURL(url);
  }
}
