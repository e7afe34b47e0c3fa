import { describe, expect, it } from 'vitest';
import { readingStep } from '../../src/compressor/gaussian-process.ts';
import { boundaryLine, fitSurface, islandContours, mapMargins, speedLine } from '../../src/compressor/index.ts';
import type { MapSheet } from '../../src/compressor/types.ts';
import { sheetFlowFactor } from '../../src/units/index.ts';
import { EXACT_MACHINES, KILOGRAMS, POUNDS, readSheet } from '../machines/read-sheet.ts';
import { nasaReadings, nasaSheet } from './nasa-map.ts';

const SHEETS: [string, MapSheet][] = [
  ...EXACT_MACHINES.map((machine): [string, MapSheet] => [machine.name, readSheet(machine, KILOGRAMS)]),
  ['NASA HECC', nasaSheet()],
];

/** How far the sheet's own rounding lets a point's speed stand off: half a step of PR over the local slope dPR/dN. */
function readingRoom(sheet: MapSheet, line: number, point: number): number {
  const p = sheet.speedLines[line]!.points[point]!;
  const exponent = 2 / 7;
  const power = p.pressureRatio ** exponent;
  const step = readingStep(sheet.speedLines.flatMap((l) => l.points.map((q) => q.pressureRatio)));
  const flowStep = readingStep(sheet.speedLines.flatMap((l) => l.points.map((q) => q.flow)));
  return (0.5 * step * 0.5 * exponent * power) / ((power - 1) * p.pressureRatio) + (0.5 * flowStep) / p.flow;
}

describe.each(SHEETS)('%s', (_, sheet) => {
  const surface = fitSurface(sheet);
  const factor = sheetFlowFactor(sheet.flowUnit, sheet.reference);

  it('passes through the entered points: speed within 0.3 % or the rounding, efficiency within 0.5 point or the rounding', () => {
    sheet.speedLines.forEach((line, i) => {
      line.points.forEach((point, k) => {
        const at = surface.at(point.flow * factor, point.pressureRatio);
        expect(at.correctedSpeedRpm).not.toBeNull();
        const room = readingRoom(sheet, i, k);
        const off = Math.abs(at.correctedSpeedRpm! / line.speedRpm - 1);
        expect(off, `line ${line.speedRpm}, point ${k + 1}`).toBeLessThan(Math.max(0.0031, room * 1.15));
        expect(Math.abs(at.efficiency! - point.efficiency!)).toBeLessThan(0.0055 + 0.5 * room);
      });
    });
  });

  it('counts every entered point as inside', () => {
    for (const line of sheet.speedLines) {
      for (const point of line.points) {
        const { region } = surface.at(point.flow * factor, point.pressureRatio);
        // The rounding of the lowest line's pressure ratio can put a point a shade below the line.
        expect(['inside', 'below-lowest-line', 'above-top-line']).toContain(region);
      }
    }
  });

  it('comes back from (speed, beta) to the same speed and beta', () => {
    for (let i = 0; i <= 12; i++) {
      const speed = surface.lowestLineRpm + ((surface.highestLineRpm - surface.lowestLineRpm) * i) / 12;
      for (const beta of [0.001, 0.1, 0.4, 0.7, 0.9]) {
        const on = surface.on(speed, beta)!;
        const at = surface.at(on.correctedMassFlowKgPerS, on.pressureRatio);
        expect(at.correctedSpeedRpm! / speed).toBeCloseTo(1, 9);
        expect(at.beta!).toBeCloseTo(beta, 7);
      }
    }
  });

  it('never lets two speed lines cross: at any flow, more speed is more pressure ratio', () => {
    for (let i = 0; i <= 20; i++) {
      const flow = surface.extent.maxFlowKgPerS * (0.1 + 0.045 * i);
      let before = 0;
      for (let ratio = 1.02; ratio < surface.extent.maxPressureRatio * 1.1; ratio += 0.01) {
        const at = surface.at(flow, ratio);
        if (at.region !== 'inside') continue;
        // Measured choke parts are vertical within their scatter: there the lines may touch, to 0.01 % of speed.
        expect(at.correctedSpeedRpm!).toBeGreaterThan(before * 0.9999);
        before = at.correctedSpeedRpm!;
      }
    }
  });

  it('extends below to PR 1 and above by one line spacing, marked, and no farther', () => {
    const low = surface.on(surface.lowestAnswerRpm, 0.5)!;
    expect(low.pressureRatio).toBeLessThan(1.01);
    expect(low.extended).toBe(true);
    const speeds = sheet.speedLines.map((l) => l.speedRpm).sort((a, b) => b - a);
    expect(surface.highestAnswerRpm).toBeCloseTo(2 * speeds[0]! - speeds[1]!, 6);
    expect(surface.on((surface.highestLineRpm + surface.highestAnswerRpm) / 2, 0.5)!.extended).toBe(true);
    expect(surface.on(surface.highestAnswerRpm * 1.001, 0.5)).toBeNull();
    expect(surface.on(surface.highestLineRpm, 0.5)!.extended).toBe(false);
  });

  it('falls towards rest by similarity: flow with speed, head with its square', () => {
    const n = surface.lowestLineRpm * 0.3;
    const a = surface.on(n, 0.4)!;
    const b = surface.on(n / 2, 0.4)!;
    const head = (ratio: number) => ratio ** (2 / 7) - 1;
    expect(a.correctedMassFlowKgPerS / b.correctedMassFlowKgPerS).toBeCloseTo(2, 2);
    expect(head(a.pressureRatio) / head(b.pressureRatio)).toBeCloseTo(4, 1);
  });

  it('names the region left of surge and right of choke and marks the answer', () => {
    const n = 0.5 * (surface.lowestLineRpm + surface.highestLineRpm);
    const surge = surface.surgeAt(n)!;
    const left = surface.at(surge.correctedMassFlowKgPerS * 0.9, surge.pressureRatio);
    expect(left.region).toBe('left-of-surge');
    expect(left.extended).toBe(true);
    expect(left.beta!).toBeLessThan(0);
    const choke = surface.chokeAt(n)!;
    const right = surface.at(choke.correctedMassFlowKgPerS, 1 + 0.85 * (choke.pressureRatio - 1));
    expect(right.region).toBe('right-of-choke');
    expect(right.extended).toBe(true);
    expect(surface.at(-1, 2).region).toBe('outside');
    expect(surface.at(Number.NaN, 2).correctedSpeedRpm).toBeNull();
    expect(surface.at(0.1, Number.POSITIVE_INFINITY).correctedSpeedRpm).toBeNull();
  });

  it('draws lines, boundaries and islands without a gap or a number that is none', () => {
    const drawn = [
      ...sheet.speedLines.map((l) => speedLine(surface, l.speedRpm)!),
      ...boundaryLine(surface, 'surge'),
      ...boundaryLine(surface, 'choke'),
    ];
    for (const line of drawn) {
      for (const p of line.points) {
        expect(Number.isFinite(p.correctedMassFlowKgPerS) && Number.isFinite(p.pressureRatio)).toBe(true);
      }
    }
    const contours = islandContours(surface);
    expect(contours.length).toBeGreaterThan(3);
    for (const contour of contours) {
      for (const ring of contour.rings) {
        for (const p of ring.points) {
          const { efficiency } = surface.at(p.correctedMassFlowKgPerS, p.pressureRatio);
          // Linear between the nodes of the mesh; the last column spans the whole vertical part of a choked line.
          expect(Math.abs((efficiency ?? contour.efficiency) - contour.efficiency)).toBeLessThan(0.02);
        }
      }
    }
  });

  it('has no efficiency peak far above the highest reading', () => {
    const highest = Math.max(...sheet.speedLines.flatMap((l) => l.points.map((p) => p.efficiency!)));
    for (let i = 0; i <= 30; i++) {
      for (let k = 0; k <= 30; k++) {
        const on = surface.on(
          surface.lowestLineRpm + ((surface.highestLineRpm - surface.lowestLineRpm) * i) / 30,
          k / 30,
        )!;
        expect(on.efficiency!).toBeLessThan(highest + 0.008);
      }
    }
  });
});

it('keeps the vertical choke part of measured lines: the choke end lies where the lowest reading is', () => {
  const sheet = nasaSheet();
  const surface = fitSurface(sheet);
  for (const line of sheet.speedLines) {
    const lowest = Math.min(...line.points.map((p) => p.pressureRatio));
    const end = surface.chokeAt(line.speedRpm)!;
    expect(Math.abs(end.pressureRatio / lowest - 1)).toBeLessThan(0.02);
  }
  expect(nasaReadings()).toHaveLength(92);
});

/**
 * One operating point in several reference states; table computed from the definitions, check of reference handling
 * (W 0.2 kg/s, N 150,000 rpm, T01 308.15 K, p01 95.0 kPa; NASA TM X-71633 nomenclature for delta and theta).
 */
it('gives volume flows their mass at the reference state', () => {
  const reference = { temperatureK: 288.15, pressurePa: 101325 };
  // 1.22500 kg/m3 is the sea-level density of the standard atmosphere (ISO 2533), with R 287.05287.
  expect(sheetFlowFactor('m3/s', reference)).toBeCloseTo(1.225, 4);
  expect(sheetFlowFactor('cfm', reference)).toBeCloseTo((1.225 * 0.3048 ** 3) / 60, 7);
  // NIST SP 811: 1 lb = 0.45359237 kg exactly.
  expect(sheetFlowFactor('lb/min', reference)).toBeCloseTo(0.45359237 / 60, 12);
  expect(sheetFlowFactor('kg/s', reference)).toBe(1);
});

it('gives the margins by their definitions (NASA HECC example: 16.80 % by (PRs/PR)(W/Ws) - 1)', () => {
  const surface = fitSurface(nasaSheet());
  const speed = 20000;
  const on = surface.on(speed, 0.6)!;
  const surge = surface.surgeAt(speed)!;
  const choke = surface.chokeAt(speed)!;
  const margins = mapMargins(surface, speed, on.correctedMassFlowKgPerS, on.pressureRatio);
  expect(margins.surgeMargin).toBeCloseTo(
    (surge.pressureRatio / on.pressureRatio) * (on.correctedMassFlowKgPerS / surge.correctedMassFlowKgPerS) - 1,
    12,
  );
  expect(margins.chokeMargin).toBeCloseTo(1 - on.correctedMassFlowKgPerS / choke.correctedMassFlowKgPerS, 12);
  // The printed pair (11.284, 4.4953), stall (10.381, 4.8302) in lbm/s, with a surface that knows only that stall point.
  const known = {
    surgeAt: () => ({ correctedMassFlowKgPerS: 10.381, pressureRatio: 4.8302 }),
    chokeAt: () => null,
    surgeFlowAt: () => 10.381,
  };
  const printed = mapMargins({ ...surface, ...known } as typeof surface, 21784, 11.284, 4.4953);
  expect(printed.surgeMargin).toBeCloseTo(0.168, 3);
  expect(printed.surgeFlowDistance).toBeCloseTo(0.08, 3);
});

it('reads efficiency from islands alone and says where it goes beyond them', () => {
  const machine = EXACT_MACHINES[0]!;
  const exact = fitSurface(readSheet(machine, { ...KILOGRAMS, pointsPerLine: 15 }));
  const bare = readSheet(machine, KILOGRAMS);
  const islands = islandContours(exact, [0.6, 0.65, 0.7, 0.74, 0.77]).flatMap((c) =>
    c.rings.map((ring) => ({
      efficiency: c.efficiency,
      closed: ring.closed,
      points: ring.points
        .filter((_, i) => i % 6 === 0)
        .map((p) => ({
          flow: Number(p.correctedMassFlowKgPerS.toFixed(3)),
          pressureRatio: Number(p.pressureRatio.toFixed(2)),
        })),
    })),
  );
  const surface = fitSurface({
    ...bare,
    speedLines: bare.speedLines.map((l) => ({
      ...l,
      points: l.points.map(({ flow, pressureRatio }) => ({ flow, pressureRatio })),
    })),
    islands,
  });
  expect(surface.hasEfficiency).toBe(true);
  const errors: number[] = [];
  let beyond = 0;
  for (let i = 1; i < 20; i++) {
    for (let k = 1; k < 20; k++) {
      const truth = machine.at(
        surface.lowestLineRpm + ((surface.highestLineRpm - surface.lowestLineRpm) * i) / 20,
        k / 20,
      );
      const at = surface.at(truth.correctedMassFlowKgPerS, truth.pressureRatio);
      if (at.extended) beyond++;
      else errors.push(100 * Math.abs(at.efficiency! - truth.efficiency));
    }
  }
  errors.sort((a, b) => a - b);
  expect(errors[errors.length >> 1]!).toBeLessThan(0.1);
  expect(errors[Math.floor(errors.length * 0.95)]!).toBeLessThan(0.6);
  expect(beyond).toBeGreaterThan(5);
});

it('works without any efficiency and says so', () => {
  const sheet = readSheet(EXACT_MACHINES[1]!, POUNDS);
  const surface = fitSurface({
    ...sheet,
    speedLines: sheet.speedLines.map((l) => ({
      ...l,
      points: l.points.map(({ flow, pressureRatio }) => ({ flow, pressureRatio })),
    })),
  });
  expect(surface.hasEfficiency).toBe(false);
  const on = surface.on(surface.highestLineRpm, 0.5)!;
  expect(on.efficiency).toBeNull();
  expect(surface.at(on.correctedMassFlowKgPerS, on.pressureRatio).correctedSpeedRpm).toBeCloseTo(
    surface.highestLineRpm,
    3,
  );
  expect(islandContours(surface)).toEqual([]);
});
