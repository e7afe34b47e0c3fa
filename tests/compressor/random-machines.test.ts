import { describe, expect, it } from 'vitest';
import { fitSurface } from '../../src/compressor/index.ts';
import type { CompressorSurface, FlowUnit, MapSheet } from '../../src/compressor/types.ts';
import { sheetFlowFactor } from '../../src/units/index.ts';
import { quantile } from '../machines/random.ts';
import { printedSheet, printedStep, type RandomCompressor, randomCompressor } from '../machines/random-compressors.ts';

/** Seeds that were not looked at while the surface was built (1 to 12 and 101 to 124 were). */
const UNSEEN = Array.from({ length: 12 }, (_, i) => randomCompressor(201 + i));

interface Miss {
  speed: number[];
  efficiency: number[];
}

/** Errors in percent of speed and in points of efficiency at places between the lines of the exact machine. */
function misses(surface: CompressorSurface, machine: RandomCompressor, into: Miss, speeds: readonly number[]): void {
  const end = Math.min(...machine.ends);
  for (const speed of speeds) {
    for (let k = 1; k < 14; k++) {
      const exact = machine.at(speed, (end * k) / 14);
      const at = surface.at(exact.correctedMassFlowKgPerS, exact.pressureRatio);
      if (at.correctedSpeedRpm === null || at.efficiency === null)
        throw new Error(`${machine.name}: no answer at ${speed} rpm, place ${k} of 14`);
      into.speed.push(100 * Math.abs(at.correctedSpeedRpm / speed - 1));
      into.efficiency.push(100 * Math.abs(at.efficiency - exact.efficiency));
    }
  }
}

const between = ({ speeds }: RandomCompressor) =>
  Array.from({ length: 12 }, (_, i) => speeds[0]! + ((speeds.at(-1)! - speeds[0]!) * (i + 1)) / 13);

const say = (name: string, { speed, efficiency }: Miss) =>
  console.log(
    `${name}: speed ${quantile(speed, 0.5).toFixed(3)} / ${quantile(speed, 0.95).toFixed(3)} %, efficiency ${quantile(efficiency, 0.5).toFixed(3)} / ${quantile(efficiency, 0.95).toFixed(3)} points (median / 95th)`,
  );

describe('machines drawn by chance, with knees and near-vertical choke, that nothing was tuned on', () => {
  const printed: Miss = { speed: [], efficiency: [] };
  const exact: Miss = { speed: [], efficiency: [] };
  const leftOut: Miss = { speed: [], efficiency: [] };
  for (const machine of UNSEEN) {
    const sheet = printedSheet(machine);
    misses(fitSurface(sheet), machine, printed, between(machine));
    misses(fitSurface(printedSheet(machine, machine.unit, true)), machine, exact, between(machine));
    for (let line = 1; line < machine.speeds.length - 1; line++) {
      const rest = fitSurface({ ...sheet, speedLines: sheet.speedLines.filter((_, i) => i !== line) });
      misses(rest, machine, leftOut, [machine.speeds[line]!]);
    }
  }
  say('printed to three digits', printed);
  say('five digits', exact);
  say('line left out', leftOut);

  it('are met between the lines and with a line left out (regression only)', () => {
    expect(quantile(printed.speed, 0.5)).toBeLessThan(0.1);
    expect(quantile(printed.speed, 0.95)).toBeLessThan(1.1);
    expect(quantile(printed.efficiency, 0.5)).toBeLessThan(0.12);
    expect(quantile(printed.efficiency, 0.95)).toBeLessThan(2.5);
    expect(quantile(leftOut.speed, 0.5)).toBeLessThan(0.15);
    expect(quantile(leftOut.speed, 0.95)).toBeLessThan(1.1);
  });
  it('are met better by a sheet of five digits than by one of three', () => {
    expect(quantile(exact.speed, 0.5)).toBeLessThan(0.6 * quantile(printed.speed, 0.5));
    expect(quantile(exact.efficiency, 0.5)).toBeLessThan(0.6 * quantile(printed.efficiency, 0.5));
    expect(quantile(exact.efficiency, 0.95)).toBeLessThan(1.05 * quantile(printed.efficiency, 0.95));
  });
});

it('loses less than half a point at the summit of a map with a ported shroud', () => {
  const lost = Array.from({ length: 6 }, (_, i) => randomCompressor(300 + 3 * i)).map((machine) => {
    const surface = fitSurface(printedSheet(machine));
    let exact = 0;
    let got = 0;
    for (const speed of between(machine)) {
      for (let k = 0; k <= 40; k++) {
        const point = machine.at(speed, (Math.min(...machine.ends) * k) / 40);
        exact = Math.max(exact, point.efficiency);
        got = Math.max(got, surface.at(point.correctedMassFlowKgPerS, point.pressureRatio).efficiency ?? 0);
      }
    }
    return 100 * (exact - got);
  });
  console.log(`summit lost, points: ${lost.map((l) => l.toFixed(2)).join(', ')}`);
  for (const points of lost) expect(Math.abs(points)).toBeLessThan(0.5);
});

/** The least and the most speed within the box that rounding leaves open around a place, as the surface itself has it. */
function speedBox(surface: CompressorSurface, flow: number, ratio: number, halfFlow: number, halfRatio: number) {
  const corners = [-1, 0, 1].flatMap((a) =>
    [-1, 0, 1].map((b) => surface.at(flow + a * halfFlow, ratio + b * halfRatio).correctedSpeedRpm ?? Number.NaN),
  );
  return { low: Math.min(...corners), high: Math.max(...corners) };
}

describe('entered points', () => {
  it('lie within their own rounding box by the surface itself, but for a few in a hundred', () => {
    let outside = 0;
    let all = 0;
    const worst: number[] = [];
    for (const machine of UNSEEN) {
      const sheet = printedSheet(machine);
      const surface = fitSurface(sheet);
      const factor = sheetFlowFactor(sheet.flowUnit, sheet.reference);
      const step = factor * printedStep(Math.max(...sheet.speedLines.flatMap((l) => l.points.map((p) => p.flow))));
      for (const line of sheet.speedLines) {
        for (const p of line.points) {
          const box = speedBox(surface, p.flow * factor, p.pressureRatio, step / 2, 0.005);
          all++;
          // 0.05 %: what is not rounding but the field between its lines.
          if (!(line.speedRpm > box.low * 0.9995 && line.speedRpm < box.high * 1.0005)) outside++;
          worst.push(Math.max(0, box.low / line.speedRpm - 1, 1 - box.high / line.speedRpm));
        }
      }
    }
    console.log(
      `${outside} of ${all} entered points outside their box, worst ${(100 * Math.max(...worst)).toFixed(2)} %`,
    );
    expect(outside / all).toBeLessThan(0.05);
    expect(Math.max(...worst)).toBeLessThan(0.01);
  });
});

const UNITS: readonly FlowUnit[] = ['kg/s', 'lb/min', 'm3/s', 'cfm'];

it('gives the same surface within its rounding whatever unit the whole sheet is printed in', () => {
  const apart: number[] = [];
  for (const machine of UNSEEN.slice(0, 6)) {
    const surfaces = UNITS.map((unit) => {
      const sheet = printedSheet(machine, unit);
      const factor = sheetFlowFactor(unit, sheet.reference);
      const largest = Math.max(...sheet.speedLines.flatMap((l) => l.points.map((p) => p.flow)));
      return { surface: fitSurface(sheet), halfStep: (factor * printedStep(largest)) / 2 };
    });
    const first = surfaces[0]!;
    for (const speed of between(machine)) {
      for (let k = 1; k < 10; k++) {
        const p = machine.at(speed, (Math.min(...machine.ends) * k) / 10);
        const own = speedBox(first.surface, p.correctedMassFlowKgPerS, p.pressureRatio, first.halfStep, 0.005);
        for (const { surface, halfStep } of surfaces.slice(1)) {
          const other = speedBox(surface, p.correctedMassFlowKgPerS, p.pressureRatio, halfStep, 0.005);
          apart.push(100 * Math.max(0, own.low / other.high - 1, other.low / own.high - 1));
        }
      }
    }
  }
  console.log(
    `four units: the boxes miss each other by ${quantile(apart, 0.99).toFixed(3)} % (99th), ${Math.max(...apart).toFixed(3)} % at most`,
  );
  expect(quantile(apart, 0.95)).toBe(0);
  expect(quantile(apart, 0.99)).toBeLessThan(0.05);
  expect(Math.max(...apart)).toBeLessThan(0.3);
});

/** The machine's sheet with only some of its lines. */
function fewLines(machine: RandomCompressor, shares: readonly number[]): RandomCompressor {
  const low = machine.speeds[0]!;
  const high = machine.speeds.at(-1)!;
  return {
    ...machine,
    speeds: shares.map((s) => Math.round((low + s * (high - low)) / 100) * 100),
    ends: shares.map(() => 1),
  };
}

describe('few lines', () => {
  it.each([
    ['three', [0, 0.5, 1], 0.25, 1.5],
    ['three, unevenly spaced', [0, 0.75, 1], 0.25, 1.6],
    ['four', [0, 0.3, 0.65, 1], 0.15, 1.4],
    ['five, unevenly spaced', [0, 0.2, 0.55, 0.7, 1], 0.15, 1.5],
  ] as const)('%s: speed between them within bounds (regression only)', (name, shares, median, high) => {
    const all: Miss = { speed: [], efficiency: [] };
    for (const whole of UNSEEN) {
      const machine = fewLines(whole, shares);
      misses(fitSurface(printedSheet(machine)), machine, all, between(machine));
    }
    say(name, all);
    expect(quantile(all.speed, 0.5)).toBeLessThan(median);
    expect(quantile(all.speed, 0.95)).toBeLessThan(high);
  });

  it('one of five off by its label (1 %) moves the speed nowhere by more than twice that', () => {
    for (const whole of UNSEEN.slice(0, 6)) {
      const machine = fewLines(whole, [0, 0.25, 0.5, 0.75, 1]);
      const sheet = printedSheet(machine);
      const off: MapSheet = {
        ...sheet,
        speedLines: sheet.speedLines.map((l, i) => (i === 2 ? { ...l, speedRpm: l.speedRpm * 1.01 } : l)),
      };
      const right = fitSurface(sheet);
      const wrong = fitSurface(off);
      for (const speed of between(machine)) {
        for (let k = 1; k < 10; k++) {
          const p = machine.at(speed, k / 10);
          const a = right.at(p.correctedMassFlowKgPerS, p.pressureRatio).correctedSpeedRpm!;
          const b = wrong.at(p.correctedMassFlowKgPerS, p.pressureRatio).correctedSpeedRpm!;
          expect(Math.abs(b / a - 1), `${machine.name}, ${speed} rpm`).toBeLessThan(0.02);
        }
      }
    }
  });
});
