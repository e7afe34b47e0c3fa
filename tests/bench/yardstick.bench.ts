import { expect, it } from 'vitest';
import { fitSurface } from '../../src/compressor/index.ts';
import type { MapSheet } from '../../src/compressor/types.ts';
import { quantile } from '../machines/random.ts';
import { speedsOf, YARDSTICK, type YardstickMachine, yardstickSheet } from '../machines/yardstick-compressors.ts';

/*
 * Nine machines that nothing was tuned on. Only the sums are printed, so that nobody tunes on a single one: look once, when the work on the
 * surface is done.
 */

interface Errors {
  speed: number[];
  efficiency: number[];
  unanswered: number;
}

function note(errors: Errors, of: YardstickMachine, sheet: MapSheet, speedRpm: number, along: number): void {
  const exact = of.at(speedRpm, along);
  const at = surfaceOf(sheet).at(exact.flowKgPerS, exact.pressureRatio);
  if (at.correctedSpeedRpm === null || at.efficiency === null) {
    errors.unanswered++;
    return;
  }
  errors.speed.push(100 * Math.abs(at.correctedSpeedRpm / speedRpm - 1));
  errors.efficiency.push(100 * Math.abs(at.efficiency - exact.efficiency));
}

const fitted = new Map<MapSheet, ReturnType<typeof fitSurface>>();
function surfaceOf(sheet: MapSheet) {
  const surface = fitted.get(sheet) ?? fitSurface(sheet);
  fitted.set(sheet, surface);
  return surface;
}

const told = (name: string, { speed, efficiency, unanswered }: Errors) =>
  `${name}: speed ${quantile(speed, 0.5).toFixed(3)} / ${quantile(speed, 0.95).toFixed(3)} %, efficiency ${quantile(efficiency, 0.5).toFixed(3)} / ${quantile(efficiency, 0.95).toFixed(3)} points (median / 95th), ${unanswered} of ${speed.length + unanswered} without an answer`;

it('machines that nothing was tuned on', () => {
  const between: Errors = { speed: [], efficiency: [], unanswered: 0 };
  const leftOut: Errors = { speed: [], efficiency: [], unanswered: 0 };
  for (const machine of YARDSTICK) {
    const sheet = yardstickSheet(machine);
    const speeds = speedsOf(machine);
    const low = speeds[0]!;
    const high = speeds.at(-1)!;
    const end = Math.min(1, ...(machine.ends ?? []));
    for (let i = 1; i < 20; i++) {
      for (let k = 1; k < 14; k++) note(between, machine, sheet, low + ((high - low) * i) / 20, (end * k) / 14);
    }
    for (let line = 1; line < speeds.length - 1; line++) {
      const rest = { ...sheet, speedLines: sheet.speedLines.filter((_, i) => i !== line) };
      for (let k = 1; k < 14; k++) note(leftOut, machine, rest, speeds[line]!, (end * k) / 14);
    }
  }
  console.log(`\n${told('between the lines', between)}\n${told('line left out', leftOut)}`);
  expect(between.speed.length).toBeGreaterThan(1000);
});
