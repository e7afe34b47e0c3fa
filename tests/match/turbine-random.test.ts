import { describe, expect, it } from 'vitest';
import { demoBuild } from '../../src/build/demo.ts';
import { toMatchInput } from '../../src/build/index.ts';
import type { CompressorSurface } from '../../src/compressor/types.ts';
import { findings, type MatchInput, type OperatingPoint, solveOperatingLine } from '../../src/match/index.ts';
import { drivenBalances } from './driven-balances.ts';
import { oracleAt } from './driven-oracle.ts';
import { numbersOf } from './numbers-of.ts';
import { generator, randomInput } from './random-builds.ts';
import { randomTurbine } from './random-turbine.ts';
import { REASONS, reportFaults } from './report-faults.ts';
import { soundBuild } from './sound-build.ts';

const BUILDS = 10_000;
/**
 * The bound on time, as readings of the map for one engine speed from nothing: what a whole solve may take at most (a power goal far off a
 * map with holes, every bracket tried) and what it takes on average. A reading of a closed-form map takes a tenth of a microsecond, of a fitted
 * one about a microsecond.
 */
const MOST_READINGS = 6000;
const MEAN_READINGS = 120;

const DRIVEN_REASONS = [...REASONS, 'turbine-too-weak', 'exhaust-blocked'];

function faultsOf(point: OperatingPoint, input: MatchInput): string[] {
  const faults = reportFaults(point, DRIVEN_REASONS);
  if (point.status !== 'ok') return faults;
  if (point.turbine === null) return [...faults, 'the turbine is forgotten'];
  const share = point.wastegateShare ?? Number.NaN;
  if (!(share >= 0 && share < 1)) faults.push(`gate share ${share}`);
  if (point.turbine.heldBy === 'turbine' && !(share === 0 && point.turbine.reachedShare < 1)) {
    faults.push(`limited with gate share ${share}, reached ${point.turbine.reachedShare}`);
  }
  if (!(point.expansionRatio! > 1)) faults.push(`expansion ratio ${point.expansionRatio}`);
  for (const [name, residual] of Object.entries(drivenBalances(point, input))) {
    if (!(Math.abs(residual) < 1e-6)) faults.push(`${name} is off by ${residual}`);
  }
  return faults;
}

/** A fitted map is an object of a class: its methods go on through the copy. */
function counted(surface: CompressorSurface, at: CompressorSurface['at']): CompressorSurface {
  return {
    ...surface,
    at,
    on: (rpm, beta) => surface.on(rpm, beta),
    surgeAt: (rpm) => surface.surgeAt(rpm),
    chokeAt: (rpm) => surface.chokeAt(rpm),
    surgeFlowAt: (ratio) => surface.surgeFlowAt(ratio),
  };
}

class Tally {
  readonly faults: string[] = [];
  readonly counts: Record<string, number> = {};
  mostReadings = 0;
  readings = 0;
  points = 0;

  /** Each speed alone, so that the readings of the map are those of one point from nothing. */
  add(name: string, plain: MatchInput): void {
    let readings = 0;
    const at = (W: number, PR: number) => {
      readings++;
      return plain.compressor.at(W, PR);
    };
    const input = { ...plain, compressor: counted(plain.compressor, at) };
    for (const engineSpeedRpm of plain.engineSpeedsRpm) {
      readings = 0;
      const [point] = solveOperatingLine({ ...input, engineSpeedsRpm: [engineSpeedRpm] });
      if (point === undefined) throw new Error('no answer at all');
      this.mostReadings = Math.max(this.mostReadings, readings);
      this.readings += readings;
      this.points++;
      const status = point.status === 'ok' ? `held by ${point.turbine?.heldBy}` : point.status;
      this.counts[status] = (this.counts[status] ?? 0) + 1;
      this.faults.push(...faultsOf(point, plain).map((fault) => `${name}, ${engineSpeedRpm} rpm: ${fault}`));
    }
  }

  expectBounded(): void {
    expect(this.mostReadings).toBeLessThan(MOST_READINGS);
    expect(this.readings / this.points).toBeLessThan(MEAN_READINGS);
  }
}

/** The line as it is asked for, all speeds one after the other, and what there is to say of it. */
function findingFaults(input: MatchInput): string[] {
  const points = solveOperatingLine(input);
  const bad = numbersOf(findings(points, input).map(({ values }) => values)).filter(([, v]) => !Number.isFinite(v));
  return bad.map(([path, value]) => `finding ${path} is ${value}`);
}

describe('10,000 random builds with random turbines', () => {
  it('plausible ones: every balance closes to 1e-6, every other speed has a reason, no search goes on and on', () => {
    const random = generator(20_240_606);
    const tally = new Tally();
    for (let build = 0; build < BUILDS && tally.faults.length < 10; build++) {
      const drawn = randomInput(random, 0);
      const input = { ...drawn, engineSpeedsRpm: drawn.engineSpeedsRpm.slice(0, 3) };
      const full = { ...input, turbine: randomTurbine(random, input) };
      tally.add(`build ${build}`, full);
      if (build % 10 === 0) tally.faults.push(...findingFaults(full).map((fault) => `build ${build}: ${fault}`));
    }
    expect(tally.faults).toEqual([]);
    tally.expectBounded();
    // Each must have been met, or the test would not be testing it. Bad input: an exhaust too rich or too hot to be one.
    expect(tally.counts['held by goal']).toBeGreaterThan(3000);
    expect(tally.counts['held by turbine']).toBeGreaterThan(5000);
    for (const reason of ['turbine-too-weak', 'right-of-map', 'left-of-map', 'above-map', 'inlet-exhausted']) {
      expect(tally.counts[reason], reason).toBeGreaterThan(500);
    }
    // Only maps made with holes and jumps (one in ten) leave a loop open.
    expect(tally.counts['not-converged'] ?? 0).toBeLessThan(20);
  });

  it('implausible ones: never NaN, never a hang, balances close wherever there is a point', () => {
    const random = generator(8_431);
    const tally = new Tally();
    for (let build = 0; build < BUILDS / 2 && tally.faults.length < 10; build++) {
      const oddness = random() < 0.5 ? 0.01 : 0.06;
      const drawn = randomInput(random, oddness);
      const input = { ...drawn, engineSpeedsRpm: drawn.engineSpeedsRpm.slice(0, 2) };
      tally.add(`build ${build}`, { ...input, turbine: randomTurbine(random, input, oddness) });
    }
    expect(tally.faults).toEqual([]);
    tally.expectBounded();
    expect(tally.counts['bad-input']).toBeGreaterThan(1000);
    expect(tally.counts['held by turbine']).toBeGreaterThan(500);
  });

  it.each([0, 1])('on the fitted map of demo candidate %d', (candidate) => {
    const { compressor } = toMatchInput(demoBuild(), candidate);
    const random = generator(1911 + candidate);
    const tally = new Tally();
    for (let build = 0; build < 250; build++) {
      const drawn = randomInput(random, 0);
      // An engine of about the size of the map: randomInput sizes its own compressor at 100 kg/s to the cubic metre.
      const scale = (compressor.extent.maxFlowKgPerS / 100 / drawn.engine.displacementM3) * (0.5 + 0.7 * random());
      const isPower = drawn.goal.kind.endsWith('power');
      const curve = drawn.goal.curve.map((p) => ({ ...p, value: isPower ? p.value * scale : p.value }));
      const engine = { ...drawn.engine, displacementM3: drawn.engine.displacementM3 * scale };
      const input = { ...drawn, engine, compressor, goal: { ...drawn.goal, curve } };
      const full = { ...input, turbine: randomTurbine(random, input) };
      tally.add(`build ${build}`, { ...full, engineSpeedsRpm: full.engineSpeedsRpm.slice(0, 3) });
    }
    expect(tally.faults).toEqual([]);
    tally.expectBounded();
    expect(tally.counts['held by goal']).toBeGreaterThan(50);
    expect(tally.counts['held by turbine']).toBeGreaterThan(50);
    expect(tally.counts['not-converged'] ?? 0).toBe(0);
  });
});

describe('engine speeds that are said to have no point', () => {
  // Independent code: plain nested bisection over the solve without a turbine, at forty pressures from the goal down.
  it('have none by a scan of the shut gate either', () => {
    const random = generator(77);
    let looked = 0;
    const missed: string[] = [];
    for (let build = 0; build < 110; build++) {
      const drawn = soundBuild(random);
      const input = { ...drawn, engineSpeedsRpm: drawn.engineSpeedsRpm.slice(0, 2) };
      const full: MatchInput = { ...input, turbine: randomTurbine(random, input) };
      if (full.goal.kind.endsWith('power')) continue;
      const ambientPa = full.ambient.pressurePa;
      for (const point of solveOperatingLine(full)) {
        if (point.status === 'ok' || ['bad-input', 'no-compression', 'no-efficiency'].includes(point.status)) continue;
        const n = point.engineSpeedRpm;
        const asked = full.goal.curve.findLast((p) => p.engineSpeedRpm <= n) ?? full.goal.curve[0]!;
        const goalPa = full.goal.kind === 'gauge-boost' ? ambientPa + asked.value : asked.value;
        looked++;
        let isWeakAbove = false;
        for (let i = 0; i <= 30; i++) {
          const pressurePa = goalPa + (i / 30) * (0.6 * ambientPa - goalPa);
          const state = oracleAt(full, n, pressurePa, 'shut', 24);
          if (isWeakAbove && state !== null && state.surplus > 0)
            missed.push(`build ${build}, ${n} rpm: ${pressurePa}`);
          isWeakAbove = state !== null && state.surplus < 0;
        }
      }
    }
    expect(looked).toBeGreaterThan(30);
    expect(missed).toEqual([]);
  });
});

describe('balances just before the edge of a sound map', () => {
  // Found by holding two solvers against each other over random builds: each lies where a search once stopped short of it.
  it.each([
    ['behind a back-pressure that nearly leaves the map', randomInput, 83, 2630, 4680.243339622393],
    ['the same, the goal off the map', randomInput, 78, 105, 5570.045043947175],
    ['at four times the manifold pressure in the exhaust', randomInput, 83, 581, 7228.575159911998],
    ['above a pressure without an answer from nothing', soundBuild, 91, 4684, 6853.057938511483],
    ['between two signs with a gap of answers', soundBuild, 91, 9852, 3624.525895807892],
    ['within a thousandth of the edge', soundBuild, 92, 8362, 3517.2610342269763],
    ['colder than a compression without loss from the coldest charge', randomInput, 84, 724, 6757.34687212389],
    ['between efficiencies of 0.51 and 0.58 only', randomInput, 84, 1207, 6072.14825192932],
    ['past the flow that a usual back-pressure leaves', randomInput, 79, 10273, 5875.044449581765],
  ] as const)('%s', (_where, make, seed, build, rpm) => {
    const random = generator(seed);
    for (let i = 0; i < build; i++) randomTurbine(random, make(random, 0));
    const input = make(random, 0);
    const full = { ...input, turbine: randomTurbine(random, input), engineSpeedsRpm: [rpm] };
    const [point] = solveOperatingLine(full);
    expect(point?.status).toBe('ok');
    expect(faultsOf(point!, full)).toEqual([]);
  });
});
