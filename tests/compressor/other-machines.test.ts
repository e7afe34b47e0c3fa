import { describe, expect, it } from 'vitest';
import { fitSurface } from '../../src/compressor/index.ts';
import type { CompressorSurface } from '../../src/compressor/types.ts';
import {
  BALANCE_SHAPES,
  type BalanceShape,
  balanceRange,
  balanceSheet,
  balanceSpeeds,
  balanceState,
} from '../machines/balance-compressor.ts';
import { quantile } from '../machines/random.ts';

/** Errors in percent of speed and in points of efficiency along one speed line of the exact machine. */
function note(surface: CompressorSurface, shape: BalanceShape, speedRpm: number, speed: number[], points: number[]) {
  const { surge, choke } = balanceRange(shape, speedRpm);
  for (let k = 1; k < 14; k++) {
    const flow = surge + (choke - surge) * (0.03 + (0.94 * k) / 14);
    const exact = balanceState(shape, speedRpm, flow);
    const at = exact && surface.at(flow, exact.pressureRatio);
    if (exact === null || at === null || at.correctedSpeedRpm === null || at.efficiency === null)
      throw new Error(`${shape.name}: no answer at ${flow} kg/s on the ${speedRpm} rpm line`);
    speed.push(100 * Math.abs(at.correctedSpeedRpm / speedRpm - 1));
    points.push(100 * Math.abs(at.efficiency - exact.efficiency));
  }
}

describe('machines of independent code (tests/machines/balance-compressor.ts)', () => {
  const speed: number[] = [];
  const points: number[] = [];
  const leftOut: number[] = [];
  for (const shape of BALANCE_SHAPES) {
    const sheet = balanceSheet(shape);
    const speeds = balanceSpeeds(shape);
    const whole = fitSurface(sheet);
    for (let i = 1; i < 10; i++) note(whole, shape, speeds[0]! + ((speeds[8]! - speeds[0]!) * i) / 10, speed, points);
    for (let line = 1; line < 8; line++) {
      const rest = fitSurface({ ...sheet, speedLines: sheet.speedLines.filter((_, i) => i !== line) });
      note(rest, shape, speeds[line]!, leftOut, []);
    }
  }
  console.log(
    `other machines: speed ${quantile(speed, 0.5).toFixed(3)} / ${quantile(speed, 0.95).toFixed(3)} %, efficiency ${quantile(points, 0.5).toFixed(3)} / ${quantile(points, 0.95).toFixed(3)} points, line left out ${quantile(leftOut, 0.5).toFixed(3)} / ${quantile(leftOut, 0.95).toFixed(3)} %`,
  );

  it('meet the targets between the lines: speed 0.08 / 0.5 %, efficiency 0.06 / 0.4 point, median / 95th percentile', () => {
    expect(quantile(speed, 0.5)).toBeLessThan(0.08);
    expect(quantile(speed, 0.95)).toBeLessThan(0.5);
    expect(quantile(points, 0.5)).toBeLessThan(0.06);
    expect(quantile(points, 0.95)).toBeLessThan(0.4);
  });
  it('give a left-out line within 0.12 % median and 0.8 % at the 95th percentile', () => {
    expect(quantile(leftOut, 0.5)).toBeLessThan(0.12);
    expect(quantile(leftOut, 0.95)).toBeLessThan(0.8);
  });
});
