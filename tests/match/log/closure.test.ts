import { describe, expect, it } from 'vitest';
import { demoV6 } from '../../../src/build/demo.ts';
import { toMatchInput } from '../../../src/build/index.ts';
import { readRoadLog } from '../../../src/match/index.ts';
import type { LogChannelKey, MatchInput } from '../../../src/match/types.ts';
import { evaluateCurve } from '../../../src/numerics/index.ts';
import { demoInput, logOf, readingsOf, solvedAt, steps } from './made-log.ts';

/** Expected: the operating line of the same build, solved forwards; the flow meter goes backwards from what instruments read of it. */
describe('a log without noise', () => {
  const withoutTurbine = (input: MatchInput): MatchInput => ({ ...input, turbine: undefined });
  const cases = ([0, 1] as const).flatMap((candidate) =>
    [demoInput(candidate), withoutTurbine(demoInput(candidate))].map(
      (input) => [`turbo ${candidate}, ${input.turbine ? 'with' : 'without'} turbine`, input] as const,
    ),
  );

  for (const [name, input] of cases) {
    for (const left of [[], ['chargeTemperature']] as LogChannelKey[][]) {
      it(`gives back flow and volumetric efficiency to 1e-6: ${name}, ${left.length === 0 ? 'with' : 'without'} charge temperature`, () => {
        const points = solvedAt(input, steps(2000, 6500, 100));
        const columns = readingsOf(points);
        const log = logOf(
          Object.fromEntries(Object.entries(columns).filter(([key]) => !left.includes(key as LogChannelKey))),
        );
        const { rows, pulls } = readRoadLog(input, log);
        expect(pulls).toHaveLength(1);
        expect(rows).toHaveLength(points.length);
        let single = 0;
        rows.forEach((row, i) => {
          const point = points[i]!;
          expect(row.predictedShaftSpeedRpm! / point.shaftSpeedRpm, `${row.engineSpeedRpm}`).toBeCloseTo(1, 6);
          if (row.flows.length !== 1) return;
          single++;
          expect(row.airMassFlowKgPerS! / point.airMassFlowKgPerS, `${row.engineSpeedRpm}`).toBeCloseTo(1, 6);
          expect(row.pressureRatio! / point.pressureRatio).toBeCloseTo(1, 7);
          const entered = evaluateCurve(input.engine.volumetricEfficiency, row.engineSpeedRpm)!;
          expect(row.volumetricEfficiency! / entered, `${row.engineSpeedRpm}`).toBeCloseTo(1, 6);
          if (point.backPressureRatio !== null)
            expect(row.backPressureRatio! / point.backPressureRatio).toBeCloseTo(1, 5);
        });
        // The rest has more than one flow on a map whose lines rise near surge: the true one is among them.
        expect(single).toBeGreaterThanOrEqual(0.75 * rows.length);
        rows.forEach((row, i) => {
          const near = row.flows.map((flow) => Math.abs(flow / points[i]!.airMassFlowKgPerS - 1));
          expect(Math.min(...near), `${row.engineSpeedRpm}`).toBeLessThan(1e-6);
        });
      });
    }
  }
});

it('two turbos: the shaft speed of one gives back the engine, and meters of the whole engine agree with its map', () => {
  const input = toMatchInput(demoV6(), 0);
  expect(input.turboCount).toBe(2);
  const points = solvedAt(input, steps(2500, 6500, 100));
  const { rows, meters } = readRoadLog(
    input,
    logOf({
      ...readingsOf(points),
      airMassFlow: points.map((p) => p.airMassFlowKgPerS),
      brakePower: points.map((p) => p.brakePowerW),
    }),
  );
  expect(rows).toHaveLength(points.length);
  rows.forEach((row, i) => {
    const point = points[i]!;
    expect(row.predictedShaftSpeedRpm! / point.shaftSpeedRpm).toBeCloseTo(1, 6);
    if (row.flows.length !== 1) return;
    expect((2 * row.airMassFlowKgPerS!) / point.airMassFlowKgPerS).toBeCloseTo(1, 6);
    const entered = evaluateCurve(input.engine.volumetricEfficiency, row.engineSpeedRpm)!;
    expect(row.volumetricEfficiency! / entered).toBeCloseTo(1, 6);
  });
  expect(meters.map(({ meter }) => meter)).toEqual(['air-mass', 'power']);
  for (const { difference } of meters) expect(Math.abs(difference)).toBeLessThan(1e-5);
});
