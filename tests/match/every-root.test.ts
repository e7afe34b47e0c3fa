import { describe, expect, it } from 'vitest';
import { compress } from '../../src/air/index.ts';
import { demoBuild } from '../../src/build/demo.ts';
import { toMatchInput } from '../../src/build/index.ts';
import { fitSurface } from '../../src/compressor/index.ts';
import type { CompressorSurface } from '../../src/compressor/types.ts';
import { type MatchInput, type OperatingPoint, solveOperatingLine } from '../../src/match/index.ts';
import { gasState, lineModel, speedModel } from '../../src/match/line-model.ts';
import { readSheet } from '../compressor/audit-sheets.ts';
import { MACHINES } from '../machines/analytic-compressor.ts';
import { BALANCE_SHAPES, balanceSheet } from '../machines/balance-compressor.ts';
import { generator, randomInput } from './random-builds.ts';

const POINTS = 100_000;
/** One in so many points without an answer is looked through by brute force. */
const EVERY = 60;

const surfaces: readonly CompressorSurface[] = [
  ...[0, 1].map((candidate) => toMatchInput(demoBuild(), candidate).compressor),
  ...MACHINES.map((shape) => fitSurface(readSheet(shape))),
  ...BALANCE_SHAPES.map((shape) => fitSurface(balanceSheet(shape))),
];

/** A random build with an engine of about the size of the map, from far too small to far too large. */
function buildFor(random: () => number, compressor: CompressorSurface): MatchInput {
  const drawn = randomInput(random, 0);
  // randomInput sizes its own compressor at 100 kg/s to the cubic metre.
  const scale = (compressor.extent.maxFlowKgPerS / 100 / drawn.engine.displacementM3) * (0.4 + 2 * random());
  const isPower = drawn.goal.kind.endsWith('power');
  const curve = drawn.goal.curve.map((p) => ({ ...p, value: isPower ? p.value * scale : p.value }));
  const engine = { ...drawn.engine, displacementM3: drawn.engine.displacementM3 * scale };
  return { ...drawn, engine, compressor, goal: { ...drawn.goal, curve } };
}

/** Whether the loop changes its sign between two of many even steps of the outlet temperature that the map answers for. */
function hasRoot(input: MatchInput, engineSpeedRpm: number): boolean {
  const line = lineModel(input);
  const made = line && speedModel(line, engineSpeedRpm);
  if (line === null || made?.ok !== true) return false;
  const excess = (T: number): number => {
    const state = gasState(line, made.speed, T);
    if (state.inletExhausted || !(state.pressureRatio > 1)) return Number.NaN;
    const at = input.compressor.at(state.correctedMassFlowKgPerS, state.pressureRatio);
    const efficiency = at.correctedSpeedRpm === null ? null : (at.efficiency ?? input.assumedEfficiency ?? null);
    const end = efficiency && compress(line.gas, line.inletTemperatureK, state.pressureRatio, efficiency);
    return end ? end.outletTemperatureK - T : Number.NaN;
  };
  let last = Number.NaN;
  // Up to what an efficiency of 0.1 makes of a pressure ratio of 4: hotter, the loop of a power goal is past its fold.
  for (let T = line.inletTemperatureK + 0.5; T < line.inletTemperatureK + 1400; T += 0.5) {
    const here = excess(T);
    if (last > 0 && here <= 0) return true;
    last = here;
  }
  return false;
}

describe(`${POINTS} random points on fitted maps, some far off them`, () => {
  it('always end in a point or a named reason, and none is given up although the loop has a balance', () => {
    const counts = new Map<OperatingPoint['status'], number>();
    const faults: string[] = [];
    let points = 0;
    let looked = 0;
    for (const [index, compressor] of surfaces.entries()) {
      const random = generator(52_000 + index);
      const upTo = (POINTS * (index + 1)) / surfaces.length;
      for (let build = 0; points < upTo; build++) {
        const input = buildFor(random, compressor);
        for (const { engineSpeedRpm, status } of solveOperatingLine(input)) {
          points++;
          counts.set(status, (counts.get(status) ?? 0) + 1);
          const name = `map ${index}, build ${build}, ${engineSpeedRpm} rpm`;
          if (status === 'not-converged') faults.push(`${name}: not converged`);
          if (!status.endsWith('-map') || points % EVERY !== 0) continue;
          looked++;
          if (hasRoot(input, engineSpeedRpm)) faults.push(`${name}: ${status}, but there is a balance`);
        }
      }
    }
    expect(faults).toEqual([]);
    expect(counts.get('ok')).toBeGreaterThan(POINTS / 5);
    expect(looked).toBeGreaterThan(500);
  });
});
