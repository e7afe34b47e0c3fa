import { describe, expect, it } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import { toMatchInput } from '../../src/build/index.ts';
import {
  type MatchInput,
  type OperatingPoint,
  type SpreadDone,
  type SpreadOutput,
  solveOperatingLine,
  solveSpread,
  type ToleranceKey,
  USUAL_TOLERANCES,
} from '../../src/match/index.ts';
import { SampleDrawer } from '../../src/match/studies/samples.ts';
import { SPREAD_OUTPUTS } from '../../src/match/studies/spread-results.ts';

function spreadOf(input: MatchInput, engineSpeedsRpm: readonly number[]): SpreadDone {
  const spread = solveSpread(input, USUAL_TOLERANCES, { ceilingSamples: 0, engineSpeedsRpm });
  if (spread.status !== 'done') throw new Error(spread.status);
  return spread;
}

function influence(spread: SpreadDone, k: number, output: SpreadOutput, key: ToleranceKey) {
  const found = spread.atSpeeds[k]!.influences[output]?.find((one) => one.key === key);
  if (found === undefined) throw new Error(`${key} on ${output}`);
  return found;
}

const numberOf = (point: OperatingPoint, output: SpreadOutput): number =>
  (point.status === 'ok' ? point[output] : null) ?? Number.NaN;

/*
 * Where a quantity has a kink within the spread, the parabola through all samples turned: 'more flow through the gate, more boost'. The
 * truth here is from outside: whole solves at both ends of the tolerance.
 */

describe('a gate that is just large enough, so that some samples creep and some do not', () => {
  const demo = toMatchInput(demoBuild(), 0);
  const gateAreaM2 = 1.2e-4;
  const input: MatchInput = { ...demo, turbine: { ...demo.turbine!, hasGate: true, gateAreaM2 } };
  const speeds = [4000, 4500, 5000, 5500, 6000, 6500];
  const spread = spreadOf(input, speeds);
  const withFlow = (share: number) =>
    solveOperatingLine({
      ...input,
      engineSpeedsRpm: speeds,
      turbine: { ...input.turbine!, gateAreaM2: gateAreaM2 * (1 + share) },
    });
  const [more, entered, less] = [USUAL_TOLERANCES.gateFlow, 0, -USUAL_TOLERANCES.gateFlow].map(withFlow);

  it('holds the goal as entered, and with the gate at its upper end; at the lower end it creeps from 4,500 rpm on', () => {
    const heldBy = (line: OperatingPoint[]) => line.map((p) => (p.status === 'ok' ? p.turbine?.heldBy : p.status));
    expect(heldBy(entered!)).toEqual(speeds.map(() => 'goal'));
    expect(heldBy(more!)).toEqual(speeds.map(() => 'goal'));
    expect(heldBy(less!)).toEqual(['goal', 'gate', 'gate', 'gate', 'gate', 'gate']);
  });

  it('gives less boost and less shaft speed the more it flows, about the mean of both sides by whole solves', () => {
    for (const output of ['manifoldPressurePa', 'shaftSpeedRpm', 'pressureRatio', 'wastegateShare'] as const) {
      for (const [k, rpm] of speeds.entries()) {
        const { effect, share } = influence(spread, k, output, 'gateFlow');
        const bothSides = (numberOf(more![k]!, output) - numberOf(less![k]!, output)) / 2;
        const where = `${output}, ${rpm} rpm`;
        expect(share, where).toBeGreaterThan(0.01);
        expect(Math.sign(effect), where).toBe(output === 'wastegateShare' ? 1 : -1);
        // Alone the gate does nothing at 4,000 rpm; with other things off it does.
        if (rpm === 4000) expect(Math.abs(bothSides), where).toBeLessThan(1e-6);
        else expect(Math.abs(effect / bothSides - 1), where).toBeLessThan(0.65);
      }
    }
  });
});

describe('a turbine that drives the goal in some samples and not in others', () => {
  const input = toMatchInput(demoBuild(), 1);
  const speeds = [2200, 3200, 3600, 3870, 4200];
  const spread = spreadOf(input, speeds);
  const drawer = new SampleDrawer(input, USUAL_TOLERANCES, 12);
  const SAMPLES = 40;

  it('has the sign of the turbine efficiency by whole solves wherever it moves a result by a fifth of its band', () => {
    // Mean over drawn inputs of what it does from end to end, halved; all else as it was drawn.
    const sums = new Map<string, number>();
    for (let sample = 0; sample < SAMPLES; sample++) {
      const { input: drawn, deviations } = drawer.draw(sample);
      const turbine = drawn.turbine!;
      const at = (end: number) => {
        const efficiencyShift = turbine.efficiencyShift! + end - deviations.turbineEfficiency;
        return solveOperatingLine({ ...drawn, turbine: { ...turbine, efficiencyShift }, engineSpeedsRpm: speeds });
      };
      const [up, down] = [at(USUAL_TOLERANCES.turbineEfficiency), at(-USUAL_TOLERANCES.turbineEfficiency)];
      for (const output of SPREAD_OUTPUTS) {
        for (const k of speeds.keys()) {
          const half = (numberOf(up[k]!, output) - numberOf(down[k]!, output)) / 2;
          sums.set(`${output} ${k}`, (sums.get(`${output} ${k}`) ?? 0) + half / SAMPLES);
        }
      }
    }
    const wrong: string[] = [];
    let compared = 0;
    for (const output of SPREAD_OUTPUTS) {
      for (const [k, rpm] of speeds.entries()) {
        const band = spread.atSpeeds[k]!.bands[output];
        const mean = sums.get(`${output} ${k}`)!;
        if (band === null || !(Math.abs(mean) > 0.2 * (band.p90 - band.p10))) continue;
        compared++;
        const { effect } = influence(spread, k, output, 'turbineEfficiency');
        if (Math.sign(effect) !== Math.sign(mean)) wrong.push(`${output}, ${rpm} rpm: ${effect}, whole ${mean}`);
      }
    }
    expect(compared).toBeGreaterThan(20);
    // Eleven with the parabola alone, the shaft speed at 3,870 rpm by -254 instead of +1,230 rpm.
    expect(wrong).toEqual([]);
  });
});
