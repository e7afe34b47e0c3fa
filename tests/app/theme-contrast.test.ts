import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { darkPalette, lightPalette } from '../../src/plot/frame/looks.ts';
import { ROOT } from '../source-files.ts';

type Tokens = Readonly<Record<string, string>>;

const css = readFileSync(join(ROOT, 'src/app/theme.css'), 'utf8');

/** Custom properties of the first rule whose selector stands in `css` as written. */
function tokensOf(selector: string): Tokens {
  const start = css.indexOf(`${selector} {`);
  if (start < 0) throw new Error(`theme.css has no rule '${selector}'`);
  const body = css.slice(css.indexOf('{', start) + 1, css.indexOf('}', start));
  return Object.fromEntries(
    [...body.matchAll(/--([\w-]+):\s*([^;]+);/g)].map((m) => [m[1] ?? '', (m[2] ?? '').trim()]),
  );
}

/** WCAG 2.2, definition of relative luminance, from '#rrggbb'. */
function luminance(hex: string): number {
  if (!/^#[0-9a-f]{6}$/i.test(hex)) throw new Error(`not a six-digit colour: ${hex}`);
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((at) => {
    const channel = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

/** WCAG 2.2, contrast ratio, 1 to 21. */
function contrast(a: string, b: string): number {
  const [high = 0, low = 0] = [luminance(a), luminance(b)].sort((x, y) => y - x);
  return (high + 0.05) / (low + 0.05);
}

const TEXT = ['ink', 'ink-soft', 'ink-faint', 'accent', 'stop', 'caution', 'good'];
const GROUNDS = ['paper', 'panel', 'raised'];
const PAIRS: readonly (readonly [string, string])[] = [
  ...TEXT.flatMap((text) => GROUNDS.map((ground) => [text, ground] as const)),
  ['accent-ink', 'accent'],
  ['ink', 'accent-wash'],
  ['accent', 'accent-wash'],
  ['ink', 'stop-wash'],
  ['stop', 'stop-wash'],
  ['ink', 'caution-wash'],
  ['caution', 'caution-wash'],
  ['ink', 'good-wash'],
  ['good', 'good-wash'],
];

/** The tokens as one scheme sees them: `light-dark(first, second)` is one of its two. */
function inScheme(at: 0 | 1): Tokens {
  return Object.fromEntries(
    Object.entries(tokensOf(':root')).map(([name, value]) => [
      name,
      /^light-dark\((#\w+), (#\w+)\)$/.exec(value)?.[at + 1] ?? value,
    ]),
  );
}
const light = inScheme(0);
const dark = inScheme(1);

describe('the contrast of the theme', () => {
  it('is computed as WCAG 2.2 defines it', () => {
    // Source: WCAG 2.2, contrast ratio: black on white is 21:1. The grey #767676 on white, 4.54:1, is the usual example of a colour
    // that just passes 4.5:1 (WebAIM, Contrast and Color Accessibility; figure from memory, agrees with the definition).
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 10);
    expect(contrast('#767676', '#ffffff')).toBeCloseTo(4.54, 2);
  });

  it.each([
    ['light', light],
    ['dark', dark],
  ] as const)('reaches 4.5:1 for text, %s (WCAG 2.2, 1.4.3 AA)', (_name, tokens) => {
    const low = PAIRS.map(([text, ground]) => ({
      pair: `${text} on ${ground}`,
      ratio: contrast(tokens[text] ?? '', tokens[ground] ?? ''),
    })).filter(({ ratio }) => ratio < 4.5);
    expect(low).toEqual([]);
  });

  it.each([
    ['light', light],
    ['dark', dark],
  ] as const)('reaches 3:1 for the outline of a control and of the focus, %s (1.4.11 AA)', (_name, tokens) => {
    const low = ['rule-strong', 'focus']
      .flatMap((line) =>
        GROUNDS.map((ground) => ({ line, ground, ratio: contrast(tokens[line] ?? '', tokens[ground] ?? '') })),
      )
      .filter(({ ratio }) => ratio < 3);
    expect(low).toEqual([]);
  });

  it.each([
    ['light', light, lightPalette],
    ['dark', dark, darkPalette],
  ] as const)(
    'is that of the drawings too, %s: an exported plot has the colours of the page',
    (_name, tokens, palette) => {
      const { paper, raised, ink, inkSoft, inkFaint, stop, caution, good } = palette;
      const { paper: p, raised: r, ink: i, stop: s, caution: c, good: g, ...rest } = tokens;
      expect({ paper, raised, ink, inkSoft, inkFaint, stop, caution, good }).toEqual({
        paper: p,
        raised: r,
        ink: i,
        inkSoft: rest['ink-soft'],
        inkFaint: rest['ink-faint'],
        stop: s,
        caution: c,
        good: g,
      });
    },
  );

  it('is the same whether dark was chosen here or by the system', () => {
    // Each colour is said once, for both schemes: what is chosen here chooses the scheme and nothing else.
    expect(css).toMatch(/:root \{\s*color-scheme: light dark;/);
    for (const scheme of ['light', 'dark']) {
      const rule = new RegExp(`:root\\[data-theme="${scheme}"\\] \\{([^}]*)\\}`).exec(css)?.[1];
      expect(rule?.trim()).toBe(`color-scheme: ${scheme};`);
    }
    expect(Object.keys(light).filter((name) => light[name] !== dark[name]).length).toBeGreaterThan(15);
  });
});
