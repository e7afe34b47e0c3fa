import { describe, expect, it } from 'vitest';
import { lawFlowParameter } from '../../src/turbine/index.ts';
import type { TurbineSheet } from '../../src/turbine/types.ts';
import { type TurbineShape, tipSpeedAt, turbineChoke, turbineSheet } from '../machines/turbine-machine.ts';
import { fitted, M2_PER_KG_PER_S, REDUCED_PER_RPM, REFERENCE } from './sheets.ts';
import { soundSheet } from './sound-sheet.ts';

/** Invented. */
const MACHINE: TurbineShape = {
  name: '53 mm',
  inducerM: 0.053,
  exducerM: 0.0455,
  areaRadiusM: 0.0163,
  tipHeightM: 0.0072,
  hubShare: 0.33,
  exitAngleDeg: 54,
  throatRadiusShare: 1.45,
  swirlCoefficient: 0.93,
  voluteLoss: 0.16,
  passageLoss: 0.38,
  leak: 0.05,
};
const SPEEDS = [37_000, 48_000, 58_000, 69_000, 80_000];
const SPEED_RATIOS = [0.86, 0.78, 0.7, 0.63, 0.57, 0.52, 0.47];

const whole = turbineSheet(MACHINE, {
  source: 'analytic machine of the tests',
  reference: REFERENCE,
  lines: SPEEDS.map((speed) => [speed, SPEED_RATIOS]),
  decimals: { ratio: 3, flow: 5, efficiency: 4 },
});

type Point = { expansionRatio: number; flow: number; efficiency?: number | undefined };

/** Straight between the points of a line and between lines at the same expansion ratio, held outside: without any law. */
function plain(sheet: TurbineSheet, key: 'flow' | 'efficiency', ratio: number, speed: number): number {
  const at = (points: readonly Point[]) => {
    const above = points.findIndex((p) => p.expansionRatio >= ratio);
    if (above <= 0) return (above === 0 ? points[0]! : points.at(-1)!)[key]!;
    const [a, b] = [points[above - 1]!, points[above]!];
    return a[key]! + ((ratio - a.expansionRatio) / (b.expansionRatio - a.expansionRatio)) * (b[key]! - a[key]!);
  };
  const above = sheet.lines.findIndex((line) => line.speedRpm! >= speed);
  if (above <= 0) return at((above === 0 ? sheet.lines[0]! : sheet.lines.at(-1)!).points);
  const [a, b] = [sheet.lines[above - 1]!, sheet.lines[above]!];
  const share = (speed - a.speedRpm!) / (b.speedRpm! - a.speedRpm!);
  return at(a.points) + share * (at(b.points) - at(a.points));
}

function errorsWithout(left: number) {
  const sheet = { ...whole, lines: whole.lines.filter((_, i) => i !== left) };
  const { capacity } = fitted(sheet);
  const { speedRpm, points } = whole.lines[left]!;
  const worst = (error: (p: Point) => number) => Math.max(...points.map((p) => Math.abs(error(p))));
  const reduced = speedRpm! * REDUCED_PER_RPM;
  return {
    flow: worst((p) => capacity.flowParameter(p.expansionRatio, reduced) / (p.flow * M2_PER_KG_PER_S) - 1),
    plainFlow: worst((p) => plain(sheet, 'flow', p.expansionRatio, speedRpm!) / p.flow - 1),
    efficiency: worst((p) => capacity.efficiency(p.expansionRatio, reduced)! - p.efficiency!),
    plainEfficiency: worst((p) => plain(sheet, 'efficiency', p.expansionRatio, speedRpm!) - p.efficiency!),
  };
}

describe('a speed line that is left out of the sheet', () => {
  it.each([1, 2, 3])(
    'inside (number %i) is met within 2 % of flow and 2.5 points of efficiency, far better than straight lines',
    (left) => {
      const errors = errorsWithout(left);
      expect(errors.flow).toBeLessThan(0.02);
      expect(errors.efficiency).toBeLessThan(0.025);
      expect(errors.flow).toBeLessThan(errors.plainFlow / 4);
      expect(errors.efficiency).toBeLessThan(errors.plainEfficiency);
    },
  );

  it.each([0, 4])('at the end (number %i) is met within 4 % of flow and 3 points of efficiency', (left) => {
    const errors = errorsWithout(left);
    expect(errors.flow).toBeLessThan(0.04);
    expect(errors.efficiency).toBeLessThan(0.03);
    expect(errors.flow).toBeLessThan(errors.plainFlow);
    expect(errors.efficiency).toBeLessThan(errors.plainEfficiency);
  });
});

it('extends to the choking flow of the machine within 2 % at every speed, from points up to U/C0 of 0.47', () => {
  const { capacity } = fitted(whole);
  for (const speed of SPEEDS) {
    const choke = turbineChoke(MACHINE, tipSpeedAt(MACHINE, speed, REFERENCE.temperatureK)).flowM2;
    expect(Math.abs(capacity.flowParameter(8, speed * REDUCED_PER_RPM) / choke - 1)).toBeLessThan(0.02);
  }
});

/** Share of points, all speeds together, that the law alone misses by more than so much. */
function missed(sheet: TurbineSheet, by: number, speedsKnown: boolean): number {
  const { law } = fitted({
    ...sheet,
    lines: sheet.lines.map((line) => ({ ...line, speedRpm: speedsKnown ? line.speedRpm : undefined })),
  }).capacity;
  const off = sheet.lines.flatMap(({ speedRpm, points }) =>
    points.map(({ expansionRatio, flow }) => {
      const speed = speedsKnown ? speedRpm! * REDUCED_PER_RPM : 0;
      return Math.abs((flow * M2_PER_KG_PER_S) / lawFlowParameter(law!, expansionRatio, speed) - 1);
    }),
  );
  return off.filter((value) => value > by).length / off.length;
}

it('meets most points of all speeds with one law of three numbers, once it knows the speeds', () => {
  for (const sheet of [whole, soundSheet()]) {
    expect(missed(sheet, 0.03, true)).toBeLessThan(0.2);
    expect(missed(sheet, 0.03, false)).toBeGreaterThan(0.35);
  }
});
