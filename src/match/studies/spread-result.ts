import { InfluenceFit } from './influence-fit.ts';
import { bandOf, SPREAD_OUTPUTS, type SpreadRecord, validSamples } from './spread-record.ts';
import type { SpreadRun } from './spread-run.ts';
import { TOLERANCE_TABLE, TURBINE_TOLERANCES } from './tolerances.ts';
import type { Band, Influence, SpreadAtSpeed, SpreadCeiling, SpreadDone, SpreadOutput, ToleranceKey } from './types.ts';

type Data = Pick<SpreadRun, 'plan' | 'nominal' | 'nominalCeilings' | 'records' | 'ceilings' | 'deviations'>;

const KEYS = TOLERANCE_TABLE.map(({ key }) => key);
const WITHOUT_TURBINE = KEYS.filter((key) => !TURBINE_TOLERANCES.has(key));

/** The tolerances that can move anything. */
function keysOf({ plan }: Data): readonly ToleranceKey[] {
  return plan.input.turbine === undefined ? WITHOUT_TURBINE : KEYS;
}

/** Bands, chances and influences from the samples of a run. */
export function spreadResult(run: Data): SpreadDone {
  const { plan } = run;
  const atSpeeds = run.records.map((record, k) => atSpeed(run, record, k));
  const ceilings = run.nominalCeilings.map((_, k) => ceilingAt(run, k));
  const overall = Object.fromEntries(
    SPREAD_OUTPUTS.map((output): [SpreadOutput, readonly Influence[]] => [
      output,
      pooled(atSpeeds.map((at) => ({ band: at.bands[output], influences: at.influences[output] ?? [] }))),
    ]),
  ) as Record<SpreadOutput, readonly Influence[]>;
  return {
    status: 'done',
    samples: plan.samples,
    seed: plan.seed,
    tolerances: plan.tolerances,
    limits: plan.limits,
    atSpeeds,
    ceilings,
    influences: { ...overall, ceilingPa: pooled(ceilings) },
  };
}

function atSpeed(run: Data, record: SpreadRecord, k: number): SpreadAtSpeed {
  const bands = Object.fromEntries(SPREAD_OUTPUTS.map((output) => [output, bandOf(record.values[output])])) as Record<
    SpreadOutput,
    Band | null
  >;
  // Most outputs have a value at every solved sample; one fit serves them all.
  const fits = new Map<number, InfluenceFit>();
  const influences: Partial<Record<SpreadOutput, readonly Influence[]>> = {};
  for (const output of SPREAD_OUTPUTS) {
    if (bands[output] === null) continue;
    const valid = validSamples(record.values[output]);
    const fit = fits.get(valid.length) ?? new InfluenceFit(run.deviations, run.plan.tolerances, keysOf(run), valid);
    fits.set(valid.length, fit);
    influences[output] = fit.of(record.values[output]);
  }
  const engineSpeedRpm = run.plan.engineSpeedsRpm[k]!;
  return { engineSpeedRpm, nominal: run.nominal[k]!, bands, ...record.counts(), influences };
}

function ceilingAt(run: Data, k: number): SpreadCeiling {
  const values = run.ceilings[k]!;
  const valid = validSamples(values);
  const samples = Math.min(run.plan.ceilingSamples, run.plan.samples);
  const fit = new InfluenceFit(run.deviations, run.plan.tolerances, keysOf(run), valid);
  return {
    engineSpeedRpm: run.plan.engineSpeedsRpm[k]!,
    nominal: run.nominalCeilings[k]!,
    band: bandOf(values),
    samples,
    noneHolds: samples - valid.length,
    influences: fit.of(values),
  };
}

/** Shares over all engine speeds, each weighted by the square of its band's width; effects averaged. */
function pooled(parts: readonly { band: Band | null; influences: readonly Influence[] }[]): Influence[] {
  const sums = new Map<ToleranceKey, { share: number; effect: number }>();
  let weights = 0;
  let count = 0;
  for (const { band, influences } of parts) {
    if (band === null || influences.length === 0) continue;
    const weight = (band.p90 - band.p10) ** 2;
    weights += weight;
    count++;
    for (const { key, share, effect } of influences) {
      const sum = sums.get(key) ?? { share: 0, effect: 0 };
      sums.set(key, { share: sum.share + weight * share, effect: sum.effect + effect });
    }
  }
  if (!(weights > 0)) return [];
  return [...sums]
    .map(([key, sum]) => ({ key, share: sum.share / weights, effect: sum.effect / count }))
    .sort((a, b) => b.share - a.share);
}
