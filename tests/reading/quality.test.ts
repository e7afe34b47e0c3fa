import { describe, expect, it } from 'vitest';
import { auditSheet } from '../../src/compressor/index.ts';
import type { MapSheet } from '../../src/compressor/types.ts';
import { qualityCard, qualityCardSteps, readingNoise } from '../../src/reading/index.ts';
import { nasaReadings, nasaSheet } from '../compressor/nasa-map.ts';
import { quantile, seededRandom } from '../machines/random.ts';
import { EXACT_MACHINES, type ExactMachine, KILOGRAMS, readSheet } from '../machines/read-sheet.ts';

const FINE = { ...KILOGRAMS, flowDecimals: 7, ratioDecimals: 6, efficiencyDecimals: 6, pointsPerLine: 12 };

function normal(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

/** A sheet whose every flow and pressure ratio is off by a known share of full scale (standard deviation). */
function noisy(machine: ExactMachine, share: number, seed: number): MapSheet {
  const sheet = readSheet(machine, FINE);
  const random = seededRandom(seed);
  const all = sheet.speedLines.flatMap((l) => l.points);
  const flow = Math.max(...all.map((p) => p.flow));
  const ratio = Math.max(...all.map((p) => p.pressureRatio));
  return {
    ...sheet,
    speedLines: sheet.speedLines.map((line) => ({
      ...line,
      points: line.points.map((p) => ({
        ...p,
        flow: p.flow + share * flow * normal(random),
        pressureRatio: p.pressureRatio + share * ratio * normal(random),
      })),
    })),
  };
}

/** The noise alone. */
function noiseOf(sheet: MapSheet): number | null {
  return readingNoise(sheet).fullScaleShare;
}

describe('reading noise', () => {
  it('is estimated within a quarter where the sheet was read with a known error', () => {
    const ratios: number[] = [];
    for (const [i, machine] of EXACT_MACHINES.entries()) {
      for (const share of [0.002, 0.004]) {
        ratios.push((noiseOf(noisy(machine, share, i + 1)) ?? 0) / share);
      }
    }
    console.log(`noise said over true: ${[0, 0.1, 0.5, 0.9, 1].map((q) => quantile(ratios, q).toFixed(2)).join(' ')}`);
    expect(quantile(ratios, 0.5)).toBeGreaterThan(0.9);
    expect(quantile(ratios, 0.5)).toBeLessThan(1.1);
    expect(quantile(ratios, 0.1)).toBeGreaterThan(0.75);
    expect(quantile(ratios, 0.9)).toBeLessThan(1.25);
  });

  it('is next to nothing where the sheet was read exactly: a line bending is not noise', () => {
    const said = EXACT_MACHINES.map((machine) => noiseOf(readSheet(machine, FINE)) ?? 1);
    console.log(`noise of exact readings, largest: ${Math.max(...said)}`);
    expect(quantile(said, 0.5)).toBeLessThan(0.0003);
    expect(Math.max(...said)).toBeLessThan(0.001);
  });

  it('is that of rounding where a sheet was rounded: 0.001 kg/s and 0.01 make a standard deviation of a step over root 12', () => {
    const machine = EXACT_MACHINES[5]!;
    const sheet = readSheet(machine, { ...KILOGRAMS, pointsPerLine: 12 });
    const all = sheet.speedLines.flatMap((l) => l.points);
    const flow = 0.001 / Math.max(...all.map((p) => p.flow));
    const ratio = 0.01 / Math.max(...all.map((p) => p.pressureRatio));
    const said = qualityCard(sheet).noise.fullScaleShare ?? 0;
    expect(said).toBeGreaterThan((0.7 * Math.min(flow, ratio)) / Math.sqrt(12));
    expect(said).toBeLessThan((1.4 * Math.max(flow, ratio)) / Math.sqrt(12));
  });

  it('is told line by line: the one that was read badly stands out', () => {
    const sheet = noisy(EXACT_MACHINES[2]!, 0.0005, 3);
    const bad = noisy(EXACT_MACHINES[2]!, 0.005, 4);
    const mixed = { ...sheet, speedLines: sheet.speedLines.with(5, bad.speedLines[5]!) };
    const lines = qualityCard(mixed).noise.lines;
    const worst = lines.reduce((a, b) => ((b.fullScaleShare ?? 0) > (a.fullScaleShare ?? 0) ? b : a));
    expect(worst.line).toBe(5);
  });

  it('is not told of lines with fewer than five points', () => {
    const sheet = readSheet(EXACT_MACHINES[0]!, { ...KILOGRAMS, pointsPerLine: 4 });
    expect(qualityCard(sheet).noise.lines.every((l) => l.fullScaleShare === null && l.speedShare === null)).toBe(true);
    expect(qualityCard(sheet).noise.fullScaleShare).toBeNull();
  });

  // NASA High Efficiency Centrifugal Compressor, measured points (data archive, revision of 14 April 2023): readings of different days on
  // one line. No figure for their scatter was published; the archive corrects speed to some hundredths of a per cent. Regression only.
  it("is below a fifth of a per cent of speed in NASA's measured points", () => {
    const card = qualityCard(nasaSheet(nasaReadings()));
    console.log(
      `NASA: noise ${card.noise.speedShare} of speed, left out ${card.leftOut.speedMedian} / ${card.leftOut.speed95}`,
    );
    expect(card.noise.speedShare).toBeGreaterThan(0.0003);
    expect(card.noise.speedShare).toBeLessThan(0.002);
  });
});

describe('left-out lines', () => {
  it('are all but the lowest and the highest, and their errors are those of a surface without them', () => {
    const sheet = readSheet(EXACT_MACHINES[0]!, KILOGRAMS);
    const card = qualityCard(sheet);
    expect(card.leftOut.lines.map((l) => l.line)).toEqual([1, 2, 3, 4, 5, 6, 7]);
    // The accuracy tests find 0.12 % median and 0.8 % at the 95th percentile for left-out lines of these machines.
    expect(card.leftOut.speedMedian).toBeLessThan(0.002);
    expect(card.leftOut.speed95).toBeLessThan(0.01);
    expect(card.leftOut.efficiencyMedian).toBeLessThan(0.003);
    expect(card.leftOut.lines.every((l) => l.unanswered === 0 && l.speedLargest >= l.speedMedian)).toBe(true);
  });

  it('show a line with a wrong speed: leaving it out, the surface says what it should have been', () => {
    const sheet = readSheet(EXACT_MACHINES[0]!, KILOGRAMS);
    const wrong = {
      ...sheet,
      speedLines: sheet.speedLines.with(4, { ...sheet.speedLines[4]!, speedRpm: sheet.speedLines[4]!.speedRpm * 1.03 }),
    };
    const line = qualityCard(wrong).leftOut.lines.find((l) => l.line === 4);
    expect(line?.speedMedian).toBeGreaterThan(0.025);
    expect(line?.speedMedian).toBeLessThan(0.035);
  });

  it('come one by one with how far it has come', () => {
    const steps = [...qualityCardSteps(readSheet(EXACT_MACHINES[0]!, KILOGRAMS))];
    expect(steps[0]).toEqual({ done: 0, total: 7 });
    expect(steps.at(-1)).toEqual({ done: 7, total: 7 });
    expect(steps).toHaveLength(8);
  });

  it('need four lines: with fewer nothing is said', () => {
    const sheet = readSheet(EXACT_MACHINES[0]!, KILOGRAMS);
    const card = qualityCard({ ...sheet, speedLines: sheet.speedLines.slice(0, 3) });
    expect(card.leftOut).toEqual({
      lines: [],
      speedMedian: null,
      speed95: null,
      efficiencyMedian: null,
      efficiency95: null,
    });
  });
});

describe('suspicious points', () => {
  const sheet = readSheet(EXACT_MACHINES[0]!, { ...KILOGRAMS, pointsPerLine: 11 });
  const withPoint = (
    line: number,
    point: number,
    change: (p: { flow: number; pressureRatio: number }) => object,
  ): MapSheet => ({
    ...sheet,
    speedLines: sheet.speedLines.map((l, i) =>
      i === line ? { ...l, points: l.points.map((p, k) => (k === point ? { ...p, ...change(p) } : p)) } : l,
    ),
  });

  it('are none on a good sheet', () => {
    for (const machine of EXACT_MACHINES) expect(qualityCard(readSheet(machine, KILOGRAMS)).suspicious).toEqual([]);
  });

  it('are named with place, amount and direction, as the audit names them', () => {
    const line = 6;
    const point = 3;
    const ratio = sheet.speedLines[line]!.points[point]!.pressureRatio;
    const wrong = withPoint(line, point, (p) => ({ pressureRatio: p.pressureRatio + 0.3 }));
    const card = qualityCard(wrong);
    const audited = auditSheet(wrong).filter((f) => f.code === 'point-stands-off');
    expect(card.suspicious.map((s) => s.finding)).toEqual(audited);
    const [first] = card.suspicious;
    expect(first?.place).toEqual({ part: 'speed-line', line, point });
    expect(first?.off?.of).toBe('pressureRatio');
    expect(first?.off?.by).toBeCloseTo(0.3, 1);
    expect(first?.expected?.pressureRatio).toBeCloseTo(ratio, 1);
    expect(first?.message).toContain('too high');
  });

  it('are off in flow where the line is steep', () => {
    const line = 2;
    const last = sheet.speedLines[line]!.points.length - 2;
    const wrong = withPoint(line, last, (p) => ({ flow: p.flow - 0.03 }));
    const [first] = qualityCard(wrong).suspicious;
    expect(first?.place.point).toBe(last);
    expect(first?.message).toContain('too low');
  });
});

describe('the card', () => {
  it('holds the sheet against what is known of the standard, and says what is not', () => {
    const sheet = readSheet(EXACT_MACHINES[0]!, KILOGRAMS);
    const card = qualityCard(sheet);
    expect(card.requirements.find((r) => r.code === 'speed-lines')).toMatchObject({ atLeast: 8, has: 9, met: true });
    expect(card.requirements.find((r) => r.code === 'points-per-line')).toMatchObject({
      atLeast: null,
      has: 9,
      met: null,
    });
    expect(card).toMatchObject({ lines: 9, points: 81, pointsWithEfficiency: 81, islands: 0 });
    const few = qualityCard({ ...sheet, speedLines: sheet.speedLines.slice(2) });
    expect(few.requirements.find((r) => r.code === 'speed-lines')).toMatchObject({ has: 7, met: false });
  });

  it('never throws, whatever the sheet', () => {
    const empty: MapSheet = { ...readSheet(EXACT_MACHINES[0]!, KILOGRAMS), speedLines: [] };
    expect(qualityCard(empty)).toMatchObject({ lines: 0, points: 0 });
    const random = seededRandom(8);
    const odd = () => [0, 1, -1, 1e300, Number.NaN, Infinity, 2, 0.5, 1.5, 90000][Math.floor(10 * random())] ?? 0;
    for (let i = 0; i < 150; i++) {
      const sheet: MapSheet = {
        ...empty,
        reference: { temperatureK: random() < 0.8 ? 298.15 : odd(), pressurePa: random() < 0.8 ? 1e5 : odd() },
        speedLines: Array.from({ length: Math.floor(6 * random()) }, () => ({
          speedRpm: odd(),
          points: Array.from({ length: Math.floor(9 * random()) }, () => ({
            flow: odd(),
            pressureRatio: odd(),
            efficiency: odd(),
          })),
        })),
      };
      expect(qualityCard(sheet).hash).toMatch(/^....-....$/);
    }
  });
});
