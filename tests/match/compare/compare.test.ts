import { describe, expect, it } from 'vitest';
import { scaleSurface } from '../../../src/compressor/index.ts';
import type { CompressorSurface } from '../../../src/compressor/types.ts';
import {
  compareCandidates,
  findings,
  holdGoal,
  type MatchInput,
  ownPlace,
  solveCeilings,
  solveOperatingLine,
  standardPlace,
} from '../../../src/match/index.ts';
import type { ComparisonKey, PlaceRule, SolvedCandidate } from '../../../src/match/types.ts';
import { analyticSurface, MEDIUM } from '../analytic-surface.ts';
import { exampleInput } from '../example-input.ts';

const RULE: PlaceRule = { temperature: { kind: 'standard' }, relativeHumidity: 0.4 };
const PLACES = [0, 1500, 3000].map((altitudeM) => {
  const result = standardPlace(altitudeM, RULE);
  if (!result.ok) throw new Error(result.message);
  return result.place;
});

function solved(input: MatchInput, studies = false): SolvedCandidate {
  const points = solveOperatingLine(input);
  return {
    input,
    points,
    findings: findings(points, input),
    ceilings: studies ? solveCeilings(input, [ownPlace(input)]) : null,
    held: studies ? holdGoal(input, { places: PLACES, altitude: { rule: RULE, fromM: 0, toM: 3000 } }) : null,
  };
}

const withCompressor = (compressor: CompressorSurface, limit?: number) =>
  exampleInput({
    compressor,
    limits: { ...exampleInput().limits, ...(limit === undefined ? {} : { shaftSpeedRpm: limit }) },
  });
const rowsOf = (a: SolvedCandidate, b: SolvedCandidate) => {
  const { rows } = compareCandidates(a, b);
  return (key: ComparisonKey) => {
    const row = rows.find((r) => r.key === key);
    if (row === undefined) throw new Error(`no row ${key}`);
    return row;
  };
};

const medium = solved(withCompressor(analyticSurface(MEDIUM)), true);
const better = solved(withCompressor(analyticSurface({ ...MEDIUM, bestEfficiency: 0.81 })), true);

describe('rows', () => {
  it('a candidate against itself: every row the same, nothing gained, nothing lost', () => {
    const { rows, gained, costs, differentInputs } = compareCandidates(medium, medium);
    expect(rows.map(({ verdict, difference }) => [verdict, difference])).toEqual(rows.map(() => ['same', 0]));
    expect(rows).toHaveLength(12);
    expect([gained, costs, differentInputs]).toEqual([[], [], false]);
  });

  it('the same machine with 4 points more of best efficiency: more efficiency, a cooler outlet, less compressor power', () => {
    const row = rowsOf(medium, better);
    expect(row('efficiency').verdict).toBe('better');
    // The closed form has the one efficiency 81/77 of the other everywhere; the denser charge moves the points a little.
    expect(row('efficiency').b.value! / row('efficiency').a.value!).toBeCloseTo(0.81 / 0.77, 2);
    expect(row('outlet-temperature')).toMatchObject({ verdict: 'better' });
    expect(row('outlet-temperature').difference).toBeLessThan(-3);
    expect(row('compressor-power').verdict).toBe('better');
    // Isentropic work is the same at the same pressure ratio: power goes with flow over efficiency.
    expect(Math.abs(row('compressor-power').relative! - (0.77 / 0.81 - 1))).toBeLessThan(0.012);
  });

  it('turned round, every difference has the other sign and every better is worse', () => {
    const there = compareCandidates(medium, better);
    const back = compareCandidates(better, medium);
    there.rows.forEach((row, i) => {
      expect(back.rows[i]!.difference).toBeCloseTo(-row.difference!, 9);
      const opposite = { better: 'worse', worse: 'better', same: 'same', unknown: 'unknown' } as const;
      // A threshold that is a share differs a little between the two ways round.
      if (Math.abs(Math.abs(row.difference!) - row.threshold) > 0.05 * row.threshold) {
        expect(back.rows[i]!.verdict, row.key).toBe(opposite[row.verdict]);
      }
    });
    expect(back.costs.map(({ key }) => key)).toEqual(there.gained.map(({ key }) => key));
  });

  it('values are those of the line: the least margin and the hottest point', () => {
    const points = medium.points.filter((p) => p.status === 'ok');
    const row = rowsOf(medium, better);
    expect(row('surge-margin').a.value).toBe(Math.min(...points.map((p) => p.surgeMargin!)));
    expect(row('outlet-temperature').a.value).toBe(Math.max(...points.map((p) => p.compressorOutletTemperatureK)));
    const hottest = points.find((p) => p.compressorOutletTemperatureK === row('outlet-temperature').a.value);
    expect(row('outlet-temperature').a.engineSpeedRpm).toBe(hottest?.engineSpeedRpm);
    const ceiling = medium.ceilings!.cells[0]!.flatMap((c) => (c.status === 'ok' ? [c.point.brakePowerW] : []));
    expect(row('power-at-ceiling').a.value).toBe(Math.max(...ceiling));
    expect(row('power-at-ceiling').a.value).toBeGreaterThan(row('power-at-goal').a.value!);
  });

  it('a lower rated speed costs speed margin and altitude', () => {
    const slower = solved(withCompressor(analyticSurface(MEDIUM), 132_000), true);
    const faster = solved(withCompressor(analyticSurface(MEDIUM), 150_000), true);
    const row = rowsOf(faster, slower);
    expect(row('speed-margin').verdict).toBe('worse');
    expect(row('altitude-held')).toMatchObject({ verdict: 'worse' });
    expect(row('altitude-held').b.value!).toBeLessThan(row('altitude-held').a.value! - 500);
    expect(row('efficiency').verdict).toBe('same');
    expect(row('power-at-goal').verdict).toBe('same');
  });
});

it('torque is compared at its peak, P 30/(pi n), not where the power peaks', () => {
  const row = rowsOf(medium, better)('peak-torque');
  const torques = medium.points.flatMap((point) =>
    point.status === 'ok'
      ? [{ n: point.engineSpeedRpm, nm: (point.brakePowerW * 30) / (Math.PI * point.engineSpeedRpm) }]
      : [],
  );
  const peak = torques.reduce((best, one) => (one.nm > best.nm ? one : best));
  expect(row.a.value).toBeCloseTo(peak.nm, 6);
  expect(row.a.engineSpeedRpm).toBe(peak.n);
  expect(row.relative).toBeCloseTo(row.difference! / row.a.value!, 12);
});

describe('what is not known is said as such', () => {
  it('without studies there is no row of ceilings or altitude', () => {
    const plain = solved(withCompressor(analyticSurface(MEDIUM)));
    const keys = compareCandidates(plain, plain).rows.map(({ key }) => key);
    expect(keys).toHaveLength(10);
    expect(keys).not.toContain('power-at-ceiling');
    expect(keys).not.toContain('altitude-held');
  });

  it('an efficiency that was assumed is compared with nothing', () => {
    const assumed = solved({ ...withCompressor(analyticSurface(MEDIUM, false)), assumedEfficiency: 0.7 });
    expect(rowsOf(medium, assumed)('efficiency')).toMatchObject({ verdict: 'unknown', difference: null });
  });

  it('a line without any point: values null, verdicts unknown, no number that is none', () => {
    const none = solved({ ...withCompressor(analyticSurface(MEDIUM)), goal: { kind: 'gauge-boost', curve: [] } });
    const { rows } = compareCandidates(medium, none);
    const line = rows.filter(({ key }) => key !== 'points-held');
    expect(line.every((r) => r.verdict === 'unknown' && r.b.value === null)).toBe(true);
    expect(JSON.stringify(rows)).not.toContain('NaN');
  });

  it('two candidates on different air are marked as not to be compared', () => {
    const elsewhere = solved({ ...medium.input, ambient: { ...medium.input.ambient, pressurePa: 80_000 } });
    expect(compareCandidates(medium, elsewhere).differentInputs).toBe(true);
  });
});

describe('a scaled map', () => {
  const donor = { inducerM: 0.047, exducerM: 0.062 };
  const scaled = scaleSurface(analyticSurface(MEDIUM), donor, { inducerM: 0.0475, exducerM: 0.0625 });
  if (!scaled.ok) throw new Error(scaled.reason);
  const estimated = solved(withCompressor(scaled.surface));

  it('counts only what is more than its band, and says that the threshold is the band', () => {
    const row = rowsOf(medium, estimated);
    expect(row('efficiency').thresholdFrom).toBe('estimate');
    expect(row('efficiency').threshold).toBe(scaled.surface.estimate.band.efficiency);
    expect(row('efficiency').verdict).toBe('same');
    expect(row('surge-margin').threshold).toBeGreaterThan(rowsOf(medium, better)('surge-margin').threshold);
  });

  it('is watched: its findings say that it is an estimate, with its band; it has no rated speed to hold', () => {
    const { watch } = compareCandidates(medium, estimated);
    const found = watch.find(({ code }) => code === 'map-estimated');
    expect(found?.values.efficiencyBand).toBe(scaled.surface.estimate.band.efficiency);
    expect(found?.severity).toBe('caution');
    expect(rowsOf(medium, estimated)('speed-margin').verdict).toBe('unknown');
    expect(estimated.findings.map(({ code }) => code)).not.toContain('within-limits');
  });

  it('gives the operating point that the similar machine would have: the donor at its own size, to the digit', () => {
    const same = scaleSurface(analyticSurface(MEDIUM), donor, donor);
    if (!same.ok) throw new Error(same.reason);
    const [a, b] = [solved(withCompressor(same.surface)), medium];
    a.points.forEach((p, i) => {
      const other = b.points[i]!;
      expect(p.status).toBe(other.status);
      if (p.status !== 'ok' || other.status !== 'ok') return;
      expect(p.shaftSpeedRpm / other.shaftSpeedRpm).toBeCloseTo(1, 10);
      expect(p.brakePowerW / other.brakePowerW).toBeCloseTo(1, 10);
    });
  });
});
