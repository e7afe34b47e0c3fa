import { expect, it } from 'vitest';
import { SheetNotFittable } from '../../src/compressor/fit-surface.ts';
import { boundaryLine, fitSurface, islandContours, speedLine, tryFitSurface } from '../../src/compressor/index.ts';
import type { MapSheet, SheetPoint } from '../../src/compressor/types.ts';
import { seededRandom } from '../machines/random.ts';
import { EXACT_MACHINES, KILOGRAMS, readSheet } from '../machines/read-sheet.ts';

const BAD = [Number.NaN, Number.POSITIVE_INFINITY, -1, 0, 1, 1e-9, 1e9];

/** A readable sheet with slips of the kind that people and programs make: swapped, mistyped, repeated, missing and absurd numbers. */
function damaged(seed: number): MapSheet {
  const random = seededRandom(seed);
  const sheet = readSheet(EXACT_MACHINES[Math.floor(random() * EXACT_MACHINES.length)]!, KILOGRAMS);
  const slip = (value: number): number => {
    const kind = random();
    if (kind < 0.3) return BAD[Math.floor(random() * BAD.length)]!;
    if (kind < 0.5) return value * 10;
    if (kind < 0.7) return value / 10;
    return value * (0.5 + random());
  };
  const rate = random() < 0.5 ? 0.02 : 0.3;
  const maybe = (value: number) => (random() < rate ? slip(value) : value);
  const lines = sheet.speedLines
    .filter(() => random() > 0.2)
    .map((line) => ({
      speedRpm: maybe(line.speedRpm),
      points: line.points
        .filter(() => random() > 0.15)
        .map(
          (p): SheetPoint => ({
            flow: maybe(p.flow),
            pressureRatio: maybe(p.pressureRatio),
            efficiency: maybe(p.efficiency!),
          }),
        ),
    }));
  return { ...sheet, speedLines: random() < 0.2 ? lines.reverse() : lines };
}

it('gives a surface or a reason for 150 damaged sheets, and never a number that is none', () => {
  let fitted = 0;
  for (let seed = 1; seed <= 150; seed++) {
    const result = tryFitSurface(damaged(seed));
    if (!result.ok) {
      expect(result.problems[0]!.message.length, `seed ${seed}`).toBeGreaterThan(20);
      continue;
    }
    fitted++;
    const { surface } = result;
    const { maxFlowKgPerS, maxPressureRatio } = surface.extent;
    for (let i = 0; i < 60; i++) {
      const at = surface.at(((i * 7) % 60) * 0.02 * maxFlowKgPerS, 1 + (i / 50) * (maxPressureRatio - 1));
      for (const value of [at.correctedSpeedRpm, at.efficiency, at.beta])
        expect(value === null || Number.isFinite(value)).toBe(true);
    }
    for (let i = 0; i <= 10; i++) {
      const speed = surface.lowestAnswerRpm + ((surface.highestAnswerRpm - surface.lowestAnswerRpm) * i) / 10;
      const on = surface.on(speed, i / 10);
      if (on) expect(Number.isFinite(on.pressureRatio) && Number.isFinite(on.correctedMassFlowKgPerS)).toBe(true);
      expect(speedLine(surface, speed, 8)?.points.every((p) => Number.isFinite(p.pressureRatio)) ?? true).toBe(true);
    }
    boundaryLine(surface, 'surge');
    if (seed % 10 === 0) islandContours(surface);
  }
  expect(fitted).toBeGreaterThan(75);
});

it('names what is missing when there is too little', () => {
  const sheet = readSheet(EXACT_MACHINES[0]!, KILOGRAMS);
  expect(() => fitSurface({ ...sheet, speedLines: sheet.speedLines.slice(0, 1) })).toThrow(SheetNotFittable);
  expect(() => fitSurface({ ...sheet, speedLines: sheet.speedLines.slice(0, 1) })).toThrow(/at least two speed lines/);
  expect(() => fitSurface({ ...sheet, reference: { temperatureK: Number.NaN, pressurePa: 1e5 } })).toThrow(
    /reference state/,
  );
});

it('fits two lines of two points, the least a map can have', () => {
  const sheet = readSheet(EXACT_MACHINES[2]!, KILOGRAMS);
  const least = {
    ...sheet,
    speedLines: [sheet.speedLines[4]!, sheet.speedLines[8]!].map((l) => ({
      ...l,
      points: [l.points[0]!, l.points[6]!],
    })),
  };
  const surface = fitSurface(least);
  const p = least.speedLines[1]!.points[0]!;
  expect(surface.at(p.flow, p.pressureRatio).correctedSpeedRpm! / least.speedLines[1]!.speedRpm).toBeCloseTo(1, 2);
});
