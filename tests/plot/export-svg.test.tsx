import { describe, expect, it } from 'vitest';
import { exportMapSvg, type SvgSheet } from '../../src/plot/export.ts';
import { printPalette } from '../../src/plot/frame/looks.ts';
import { inventedChart, inventedLine, inventedModel } from './invented-map.ts';

const SHEET: SvgSheet = {
  size: { width: 700, height: 600 },
  palette: printPalette,
  title: 'Invented turbo & engine',
  description: 'A compressor map with two operating lines.',
  provenance: 'Map: invented for a test. Air: 24 °C, 91.7 kPa.',
  caution: 'Calculated, not measured. The makers’ limits come first.',
};

function parsed(text: string): Document {
  const document = new DOMParser().parseFromString(text, 'image/svg+xml');
  expect(document.querySelector('parsererror')).toBeNull();
  return document;
}

describe('an exported SVG', () => {
  it('stands alone: well-formed, with namespace, title, description, provenance and caution', () => {
    const document = parsed(exportMapSvg(inventedModel(), SHEET));
    const root = document.documentElement;
    expect(root.namespaceURI).toBe('http://www.w3.org/2000/svg');
    expect(root.querySelector('title')!.textContent).toBe('Invented turbo & engine');
    expect(root.querySelector('desc')!.textContent).toContain('two operating lines');
    const texts = [...root.querySelectorAll('text')].map((text) => text.textContent).join(' ');
    expect(texts).toContain(SHEET.provenance);
    expect(texts).toContain(SHEET.caution);
  });

  it('needs no style sheet, script, class, foreign file or pointer', () => {
    const text = exportMapSvg(
      inventedModel({
        places: [{ id: 'p', at: inventedLine(1, 1.5)[30]!, severity: 'stop', label: '', highlighted: true }],
      }),
      SHEET,
    );
    expect(text).not.toMatch(/var\(|<script|href=|tabindex|data-place|currentColor|NaN/);
    for (const match of text.matchAll(/url\(#([^)]+)\)/g)) expect(text).toContain(`id="${match[1]}"`);
  });

  it('is the size asked for and keeps its footer inside', () => {
    const document = parsed(exportMapSvg(inventedModel(), SHEET));
    const root = document.documentElement;
    expect(Number(root.getAttribute('height'))).toBeLessThanOrEqual(SHEET.size.height + 1);
    const ys = [...root.querySelectorAll(':scope > text')].map((text) => Number(text.getAttribute('y')));
    expect(Math.max(...ys)).toBeLessThan(Number(root.getAttribute('height')));
  });

  it('is drawn as it was (small map, numbers rounded)', () => {
    const chart = inventedChart(2);
    const short = {
      ...chart,
      speedLines: chart.speedLines.map((line) => ({ ...line, points: line.points.filter((_, i) => i % 13 === 0) })),
      islands: [],
      ratedSpeedLine: null,
    };
    const model = inventedModel({
      chart: short,
      operatingLines: [{ id: 'a', name: 'A', style: 'a', points: inventedLine(1, 1.5, 4) }],
    });
    const document = parsed(exportMapSvg(model, { ...SHEET, size: { width: 400, height: 340 } }));
    const drawn = ['speed-lines', 'surge', 'choke', 'chart-labels', 'operating-lines', 'operating-labels'].map((name) =>
      document
        .querySelector(`.${name}`)!
        .outerHTML.replace(/ xmlns="[^"]*"/g, '')
        .replace(/></g, '>\n<'),
    );
    expect(drawn.join('\n')).toMatchSnapshot();
  });
});
