import { describe, expect, it } from 'vitest';
import { referTo, wheelRatios } from '../../../src/compressor/index.ts';
import { flowCapacity } from '../../../src/match/compare/check-claim.ts';
import {
  checkClaim,
  findings,
  type MatchInput,
  ownPlace,
  solveCeilings,
  solveOperatingLine,
} from '../../../src/match/index.ts';
import type { SolvedCandidate } from '../../../src/match/types.ts';
import { analyticSurface, MEDIUM } from '../analytic-surface.ts';
import { exampleInput } from '../example-input.ts';

function solved(input: MatchInput): SolvedCandidate {
  const points = solveOperatingLine(input);
  return {
    input,
    points,
    findings: findings(points, input),
    ceilings: solveCeilings(input, [ownPlace(input)]),
    held: null,
  };
}

const wheel = (inducerM: number, exducerM: number, caliperM = 5e-5) =>
  ({ kind: 'compressor', inducerM, exducerM, caliperM }) as const;
const ratios = wheelRatios(wheel(0.0475, 0.062), wheel(0.0446, 0.057));
const none = { ratios: null, a: null, b: null };

describe('wheels of 44.6/57 and 47.5/62 mm (common practice, no source)', () => {
  it('a claim of 17 % lies within what inducer area (13 %) and exducer area (18 %) give', () => {
    const check = checkClaim({ kind: 'flow', gain: 0.17 }, { ...none, ratios });
    expect(check.evidence.map(({ basis, gain }) => [basis, Math.round(100 * gain.value)])).toEqual([
      ['inducer-area', 13],
      ['exducer-area', 18],
    ]);
    expect(check.verdict).toBe('within');
    expect(check.worthBrakePowerW).toBeNull();
  });

  it('30 % is more than anything known gives, 5 % less; the calipers widen the range, they do not decide it', () => {
    expect(checkClaim({ kind: 'flow', gain: 0.3 }, { ...none, ratios }).verdict).toBe('above');
    expect(checkClaim({ kind: 'flow', gain: 0.05 }, { ...none, ratios }).verdict).toBe('below');
    // Hand calculation: 13.43 % less 2 (0.05/47.5 + 0.05/44.6) of 1.1343 = 0.49 points.
    expect(checkClaim({ kind: 'flow', gain: 0.17 }, { ...none, ratios }).range![0]).toBeCloseTo(0.1294, 3);
  });

  it('without measurements and maps there is no evidence, and that is what it says', () => {
    expect(checkClaim({ kind: 'flow', gain: 0.17 }, none)).toMatchObject({
      evidence: [],
      range: null,
      verdict: 'no-evidence',
    });
  });
});

describe('maps', () => {
  const a = solved(exampleInput());
  const larger = { ...MEDIUM, topFlow: MEDIUM.topFlow * 1.17 };
  const b = solved(exampleInput({ compressor: analyticSurface(larger) }));

  it('a machine of 17 % more flow everywhere: choke flow and flow at the goal say so', () => {
    const { evidence } = checkClaim({ kind: 'flow', gain: 0.17 }, { ratios: null, a, b });
    expect(evidence.map(({ basis }) => basis)).toEqual(['map-choke-flow', 'map-flow-at-goal']);
    for (const { gain } of evidence) {
      expect(gain.value).toBeCloseTo(0.17, 9);
      expect(gain.plusMinus).toBeGreaterThan(0.01);
    }
  });

  it('says the same when the second map stands at another reference state', () => {
    const elsewhere = referTo(analyticSurface(larger), { temperatureK: 302.778, pressurePa: 96_173.4 });
    const other = solved(exampleInput({ compressor: elsewhere }));
    const { evidence } = checkClaim({ kind: 'flow', gain: 0.17 }, { ratios: null, a, b: other });
    for (const { gain } of evidence) expect(gain.value).toBeCloseTo(0.17, 6);
  });

  it('the worth is the gain times the peak power of the known candidate, at crankshaft and wheels', () => {
    const check = checkClaim({ kind: 'power', gain: 0.1 }, { ratios: null, a, b });
    const peak = Math.max(...a.points.map((p) => (p.status === 'ok' ? p.brakePowerW : 0)));
    expect(check.worthBrakePowerW).toBeCloseTo(0.1 * peak, 6);
    expect(check.worthWheelPowerW).toBeCloseTo(0.1 * peak * 0.85, 6);
    expect(check.evidence.map(({ basis }) => basis)).toContain('power-at-ceiling');
    expect(check.flowUsed).toBeGreaterThan(0.4);
    expect(check.flowUsed).toBeLessThan(1);
  });
});

describe('the most flow at a pressure ratio, against the closed form', () => {
  const surface = analyticSurface(MEDIUM);

  it('below the choke end of the top line: where the choke end has that pressure ratio', () => {
    // PR = 1 + (PR0 - 1) n^2 (1 - 0.62), W = n W0: at n = 0.8 the choke end has 1 + 3.2 x 0.64 x 0.38.
    const ratio = 1 + 3.2 * 0.64 * 0.38;
    expect(flowCapacity(surface, ratio, 150_000)).toBeCloseTo(0.8 * 0.36, 6);
  });

  it('above it: on the top line, at phi of that pressure ratio', () => {
    const phi = 0.8;
    const ratio = 1 + 3.2 * (1 - 0.62 * phi * phi);
    expect(flowCapacity(surface, ratio, 150_000)).toBeCloseTo(phi * 0.36, 6);
    // With a rated speed of 90 % the same pressure ratio stands further left on the slower line.
    const slower = Math.sqrt((1 - (ratio - 1) / (3.2 * 0.81)) / 0.62);
    expect(flowCapacity(surface, ratio, 135_000)).toBeCloseTo(slower * 0.9 * 0.36, 6);
  });

  it('above the surge end of the top line there is none', () => {
    expect(flowCapacity(surface, 4.5, 150_000)).toBeNull();
    expect(flowCapacity(surface, 1, 150_000)).toBeNull();
  });
});
