import { describe, expect, it } from 'vitest';
import { fitSurface } from '../../src/compressor/index.ts';
import type { CompressorSurface, MapSheet } from '../../src/compressor/types.ts';
import { sheetFlowFactor } from '../../src/units/index.ts';
import { quantile, seededRandom } from '../machines/random.ts';
import {
  EXACT_MACHINES,
  type ExactMachine,
  KILOGRAMS,
  lineSpeeds,
  POUNDS,
  type ReadingStyle,
  readSheet,
} from '../machines/read-sheet.ts';
import { scatteredInterpolator } from '../machines/scattered-interpolator.ts';
import { nasaReadings, nasaSheet } from './nasa-map.ts';

/** Errors in percent of speed and in points of efficiency. */
interface Errors {
  speed: number[];
  efficiency: number[];
}

type Answer = (flow: number, ratio: number) => { speedRpm: number; efficiency: number };

function ofSurface(surface: CompressorSurface): Answer {
  return (flow, ratio) => {
    const at = surface.at(flow, ratio);
    if (at.correctedSpeedRpm === null || at.efficiency === null)
      throw new Error(`no answer at ${flow} kg/s, PR ${ratio}`);
    return { speedRpm: at.correctedSpeedRpm, efficiency: at.efficiency };
  };
}

function rowsOf(sheet: MapSheet) {
  const factor = sheetFlowFactor(sheet.flowUnit, sheet.reference);
  return sheet.speedLines.flatMap(({ speedRpm, points }) =>
    points.map((p) => ({
      speedRpm,
      flow: p.flow * factor,
      pressureRatio: p.pressureRatio,
      efficiency: p.efficiency ?? Number.NaN,
    })),
  );
}

function without(sheet: MapSheet, line: number): MapSheet {
  return { ...sheet, speedLines: sheet.speedLines.filter((_, i) => i !== line) };
}

function note(errors: Errors, answer: Answer, machine: ExactMachine, speedRpm: number, beta: number): void {
  const truth = machine.at(speedRpm, beta);
  const got = answer(truth.correctedMassFlowKgPerS, truth.pressureRatio);
  errors.speed.push(100 * Math.abs(got.speedRpm / speedRpm - 1));
  errors.efficiency.push(100 * Math.abs(got.efficiency - truth.efficiency));
}

/** Interior points between the lines, and interior lines left out, against the exact machine. */
function measure(model: (sheet: MapSheet) => Answer, style: ReadingStyle): { between: Errors; leftOut: Errors } {
  const between: Errors = { speed: [], efficiency: [] };
  const leftOut: Errors = { speed: [], efficiency: [] };
  for (const machine of EXACT_MACHINES) {
    const sheet = readSheet(machine, style);
    const speeds = lineSpeeds(machine, style);
    const low = speeds[0]!;
    const high = speeds[speeds.length - 1]!;
    const random = seededRandom(20);
    const whole = model(sheet);
    for (let i = 0; i < 250; i++) note(between, whole, machine, low + (high - low) * random(), 0.02 + 0.96 * random());
    for (let line = 1; line < speeds.length - 1; line++) {
      const rest = model(without(sheet, line));
      for (let k = 0; k <= 16; k++) note(leftOut, rest, machine, speeds[line]!, 0.02 + (0.96 * k) / 16);
    }
  }
  return { between, leftOut };
}

const say = (name: string, e: Errors) =>
  `${name}: speed ${quantile(e.speed, 0.5).toFixed(3)} / ${quantile(e.speed, 0.95).toFixed(3)} %, efficiency ${quantile(e.efficiency, 0.5).toFixed(3)} / ${quantile(e.efficiency, 0.95).toFixed(3)} points (median / 95th)`;

/** Targets of the project; the yardstick, a general scattered-data interpolator, is measured on the same sheets. */
describe.each([
  ['0.1 lb/min', POUNDS],
  ['0.001 kg/s', KILOGRAMS],
])('maps read to %s and PR 0.01, against exact machines', (name, style) => {
  const ours = measure((sheet) => ofSurface(fitSurface(sheet)), style);
  const theirs = measure((sheet) => scatteredInterpolator(rowsOf(sheet)), style);
  console.log(
    `${name}\n  ${say('surface, between lines', ours.between)}\n  ${say('scattered, between lines', theirs.between)}`,
  );
  console.log(`  ${say('surface, line left out', ours.leftOut)}\n  ${say('scattered, line left out', theirs.leftOut)}`);

  it('gives speed between the lines within 0.08 % median and 0.5 % at the 95th percentile', () => {
    expect(quantile(ours.between.speed, 0.5)).toBeLessThan(0.08);
    expect(quantile(ours.between.speed, 0.95)).toBeLessThan(0.5);
  });
  it('gives efficiency between the lines within 0.06 point median and 0.4 at the 95th percentile', () => {
    expect(quantile(ours.between.efficiency, 0.5)).toBeLessThan(0.06);
    expect(quantile(ours.between.efficiency, 0.95)).toBeLessThan(0.4);
  });
  it('gives a left-out line within 0.12 % median and 0.8 % at the 95th percentile', () => {
    expect(quantile(ours.leftOut.speed, 0.5)).toBeLessThan(0.12);
    expect(quantile(ours.leftOut.speed, 0.95)).toBeLessThan(0.8);
  });
  it('beats the scattered-data interpolator everywhere, by half where a line is left out', () => {
    for (const share of [0.5, 0.95]) {
      expect(quantile(ours.between.speed, share)).toBeLessThan(0.8 * quantile(theirs.between.speed, share));
      expect(quantile(ours.between.efficiency, share)).toBeLessThan(0.8 * quantile(theirs.between.efficiency, share));
      expect(quantile(ours.leftOut.speed, share)).toBeLessThan(0.6 * quantile(theirs.leftOut.speed, share));
      expect(quantile(ours.leftOut.efficiency, share)).toBeLessThan(0.5 * quantile(theirs.leftOut.efficiency, share));
    }
  });
});

it("gives NASA's measured speed within 0.12 % median and 0.3 % at the 95th percentile with the line left out", () => {
  const readings = nasaReadings();
  const percents = [...new Set(readings.map((r) => r.percent))];
  const errors: number[] = [];
  for (const percent of percents.slice(1, -1)) {
    const surface = fitSurface(nasaSheet(readings.filter((r) => r.percent !== percent)));
    for (const r of readings.filter((reading) => reading.percent === percent)) {
      const speed = surface.at(r.flowKgPerS, r.pressureRatio).correctedSpeedRpm;
      errors.push(speed === null ? 100 : 100 * Math.abs(speed / r.speedRpm - 1));
    }
  }
  console.log(`NASA, line left out: ${quantile(errors, 0.5).toFixed(3)} / ${quantile(errors, 0.95).toFixed(3)} %`);
  expect(quantile(errors, 0.5)).toBeLessThan(0.12);
  expect(quantile(errors, 0.95)).toBeLessThan(0.3);
});
