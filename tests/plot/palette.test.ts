import { describe, expect, it } from 'vitest';
import { darkPalette, lightPalette, mixColour, type Palette, printPalette } from '../../src/plot/frame/looks.ts';

/** Relative luminance and contrast ratio by WCAG 2.2, definitions "relative luminance" and "contrast ratio". */
function luminance(colour: string): number {
  const [r, g, b] = [1, 3, 5].map((i) => {
    const c = Number.parseInt(colour.slice(i, i + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
function contrast(a: string, b: string): number {
  const [dark, light] = [luminance(a), luminance(b)].sort((x, y) => x - y) as [number, number];
  return (light + 0.05) / (dark + 0.05);
}

describe.each<Palette>([lightPalette, darkPalette, printPalette])('palette $name', (palette) => {
  it('gives texts 4.5 to 1 on the paper (WCAG 2.2, 1.4.3)', () => {
    const { ink, inkSoft, inkFaint, rated, surge, candidateA, candidateB, stop, caution, good, islandLine } = palette;
    for (const colour of [
      ink,
      inkSoft,
      inkFaint,
      rated,
      surge,
      candidateA,
      candidateB,
      stop,
      caution,
      good,
      islandLine[1],
    ]) {
      expect(contrast(colour, palette.paper), colour).toBeGreaterThanOrEqual(4.5);
    }
  });

  it('gives candidates and island labels 4.5 to 1 on the darkest island fill', () => {
    for (const colour of [palette.candidateA, palette.candidateB, palette.islandLine[1]]) {
      expect(contrast(colour, palette.islandFill[1]), colour).toBeGreaterThanOrEqual(4.5);
    }
  });

  it('gives lines 3 to 1 on the paper (WCAG 2.2, 1.4.11)', () => {
    for (const colour of [palette.speedLine, palette.islandLine[0], palette.frame]) {
      expect(contrast(colour, palette.paper), colour).toBeGreaterThanOrEqual(3);
    }
  });

  it('has an island ramp that goes one way in lightness', () => {
    const steps = [0, 0.25, 0.5, 0.75, 1].map((t) => contrast(mixColour(...palette.islandLine, t), palette.paper));
    expect(steps).toEqual([...steps].sort((a, b) => a - b));
  });
});

describe('the print palette', () => {
  it('is grey throughout', () => {
    for (const colour of Object.values(printPalette)
      .flat()
      .filter((v) => v.startsWith('#'))) {
      expect(colour.slice(1, 3) === colour.slice(3, 5) && colour.slice(3, 5) === colour.slice(5, 7), colour).toBe(true);
    }
  });
});
