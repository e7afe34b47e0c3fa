import { describe, expect, it } from 'vitest';
import { fitKey, keptFit, sealOf, tryFitSurface } from '../../src/compressor/index.ts';
import type { CompressorSurface, KeptFit, MapSheet } from '../../src/compressor/types.ts';
import { factoryMap } from '../machines/demo-maps.ts';
import { printedSheet, randomCompressor } from '../machines/random-compressors.ts';
import { GOOD } from './good-sheet.ts';
import { nasaSheet } from './nasa-map.ts';

/* Both surfaces come from this program: that they are the same is the property, so that no source is needed. */

const noEfficiency: MapSheet = {
  ...GOOD,
  islands: [],
  speedLines: GOOD.speedLines.map((line) => ({
    ...line,
    points: line.points.map(({ flow, pressureRatio }) => ({ flow, pressureRatio })),
  })),
};
/** Two lines crossing: the first, free fits bend back, and a stiffer one is taken. */
const crossing: MapSheet = {
  ...GOOD,
  speedLines: GOOD.speedLines.map((line, i, { length }) =>
    i === length - 2 ? { ...line, speedRpm: GOOD.speedLines[length - 1]!.speedRpm * 0.995 } : line,
  ),
};

const SHEETS: Record<string, MapSheet> = {
  'a demonstration map': factoryMap(),
  'points and islands': GOOD,
  'measured points': nasaSheet(),
  'no efficiencies': noEfficiency,
  'lines too near': crossing,
  ...Object.fromEntries(
    [101, 102, 103, 104].map((seed) => [`machine ${seed}`, printedSheet(randomCompressor(seed))] as const),
  ),
};

function fitted(sheet: MapSheet, kept?: KeptFit): { surface: CompressorSurface; kept: KeptFit } {
  const fit = tryFitSurface(sheet, kept);
  if (!fit.ok || fit.kept === undefined) throw new Error('a fit expected');
  return { surface: fit.surface, kept: fit.kept };
}

function answers(surface: CompressorSurface): unknown[] {
  const { maxFlowKgPerS, maxPressureRatio } = surface.extent;
  const shares = Array.from({ length: 21 }, (_, i) => i / 20);
  const speed = (s: number) => surface.lowestAnswerRpm + s * (surface.highestAnswerRpm - surface.lowestAnswerRpm);
  return [
    shares.flatMap((x) => shares.map((y) => surface.at(1.1 * x * maxFlowKgPerS, 1 + 1.1 * y * (maxPressureRatio - 1)))),
    shares.flatMap((s) => shares.map((beta) => surface.on(speed(s), beta))),
    shares.map((s) => [surface.surgeAt(speed(s)), surface.chokeAt(speed(s))]),
    shares.map((y) => surface.surgeFlowAt(1 + y * (maxPressureRatio - 1))),
  ];
}

describe('a fit that was kept', () => {
  it.each(Object.entries(SHEETS))('gives the same surface to the last digit: %s', (_, sheet) => {
    const first = fitted(sheet);
    const again = fitted(sheet, structuredClone(first.kept));
    expect(answers(again.surface)).toEqual(answers(first.surface));
    expect(again.kept).toEqual(first.kept);
  });

  it('is used, not searched for again', () => {
    const { kept, surface } = fitted(GOOD);
    const altered = kept.map((value, i) => (i === 9 ? value * 1.5 : value));
    expect(answers(fitted(GOOD, altered).surface)).not.toEqual(answers(surface));
  });

  it('is passed over where it cannot be of this sheet', () => {
    const own = answers(fitted(GOOD).surface);
    const { kept } = fitted(GOOD);
    const other = fitted(nasaSheet()).kept;
    const foreign = {
      'a map of another size': other,
      empty: new Float64Array(0),
      rubbish: Float64Array.from([1e9, -3, 7]),
      'no such coordinates': kept.map((value, i) => (i === 1 || i === kept[0]! + 9 ? 7 : value)),
      'not a number': kept.map((value, i) => (i === 12 || i === kept[0]! + 20 ? Number.NaN : value)),
      'an infinite length': kept.map((value, i) => (i === 4 || i === kept[0]! + 12 ? Number.POSITIVE_INFINITY : value)),
    };
    for (const [name, numbers] of Object.entries(foreign))
      expect(answers(fitted(GOOD, numbers).surface), name).toEqual(own);
  });

  it('counts only under the key that it was sealed for, with every number as it was', () => {
    const key = fitKey(GOOD);
    const { kept } = fitted(GOOD);
    const seal = sealOf(key, kept);
    expect(keptFit(key, structuredClone({ numbers: kept, seal }))).toEqual(kept);
    expect(keptFit(fitKey(factoryMap()), { numbers: kept, seal })).toBeUndefined();
    for (let i = 0; i < kept.length; i++) {
      const altered = kept.with(i, kept[i]! === 0 ? 1 : kept[i]! * (1 + 2 ** -52));
      expect(keptFit(key, { numbers: altered, seal }), `number ${i}`).toBeUndefined();
    }
    for (const foreign of [undefined, null, 7, 'x', {}, [], { numbers: [...kept], seal }, { numbers: kept }, kept])
      expect(keptFit(key, foreign)).toBeUndefined();
  });

  it('has a key for every number that the surface hangs on, and the same key under another name', () => {
    const key = fitKey(GOOD);
    const lines = (change: (lines: MapSheet['speedLines']) => MapSheet['speedLines']) =>
      fitKey({ ...GOOD, speedLines: change(structuredClone(GOOD.speedLines)) });
    const others = [
      fitKey({ ...GOOD, flowUnit: 'lb/min' }),
      fitKey({ ...GOOD, reference: { ...GOOD.reference, temperatureK: 288.15 } }),
      fitKey({ ...GOOD, islands: [] }),
      lines((all) => all.slice(1)),
      ...GOOD.speedLines.flatMap((line, i) => [
        lines((all) => all.with(i, { ...all[i]!, speedRpm: line.speedRpm + 1 })),
        ...line.points.flatMap((point, j) =>
          (['flow', 'pressureRatio', 'efficiency'] as const).map((of) =>
            lines((all) =>
              all.with(i, {
                ...all[i]!,
                points: all[i]!.points.with(j, { ...point, [of]: (point[of] ?? 0.5) + 1e-6 }),
              }),
            ),
          ),
        ),
      ]),
    ];
    expect(new Set([key, ...others]).size).toBe(1 + others.length);
    expect(fitKey({ ...GOOD, name: 'another', source: 'x', limits: {}, wheel: {} })).toBe(key);
  });

  /** Regression only. Where it fails, the fit has changed: raise FIT_VERSION in kept-fit.ts, and renew what is written here. */
  it('has a version of the fit in its key', () => {
    const { kept } = fitted(GOOD);
    const found = [...kept.subarray(1, 8), ...kept.subarray(kept[0]! + 9, kept[0]! + 16)];
    expect({ key: fitKey(GOOD), found: found.map((value) => Number(value.toFixed(6))) }).toMatchInlineSnapshot(`
      {
        "found": [
          2,
          -2.292026,
          -0.476479,
          -2.051517,
          -0.581873,
          -1.173478,
          0.167264,
          2,
          -0.026294,
          -2.563973,
          -0.590221,
          -2.836294,
          -1.753147,
          1.139162,
        ],
        "key": "1bwooce-3al15g-5as",
      }
    `);
  });
});
