import type { CarPath } from './car-path.ts';
import { type BinModel, binModel, knotWeights, type Observed } from './fit-design.ts';
import { deviationAlong, type FitLine, type FitSystem, inverse, rootMeanSquare } from './joint-fit.ts';
import type { CauseGroup, CauseGroupName, CauseKey, LogAdvice, NuisanceKey } from './result-types.ts';
import type { Instruments, Priors } from './row-bands.ts';
import type { LogChannelKey } from './types.ts';

/** Residual patterns as alike as this cannot be told apart. */
const ALIKE = 0.95;
/** A cause that one prior deviation of moves the residuals by less than this many of theirs is none. */
const LEAST_EFFECT = 1;
const OUTSIDE = 3;
const ABSURD = 6;
/** The fit believes that a pickup counts; a search for causes must not: a factor in the logger may be wrong by this (a guess). */
const SHAFT_FACTOR = 0.003;
const LEADS = 0.8;

const KIND: Readonly<Record<CauseKey, CauseGroupName>> = {
  volumetricEfficiency: 'flow',
  inletLoss: 'flow',
  coolerEffectiveness: 'flow',
  mapFlow: 'flow',
  mapEfficiency: 'flow',
  backPressure: 'flow',
  chargeProbe: 'flow',
  inletTemperature: 'speed',
  shaftScale: 'speed',
  chargeLoss: 'speed',
  ambientPressure: 'pressure',
  mapPressureRatio: 'pressure',
  manifoldOffset: 'pressure',
  manifoldScale: 'pressure',
  inletPressureSensor: 'pressure',
  outletPressureSensor: 'pressure',
  airMassScale: 'meters',
  fuelScale: 'meters',
  powerScale: 'meters',
};

/** What would tell the members of a group apart, the best first: a channel, and the member that it speaks of. */
const WITNESSES: readonly (readonly [channel: LogChannelKey, of: CauseKey])[] = [
  ['compressorInletPressure', 'inletLoss'],
  ['chargeTemperature', 'coolerEffectiveness'],
  ['compressorInletTemperature', 'inletTemperature'],
  ['compressorOutletPressure', 'chargeLoss'],
  ['compressorOutletPressure', 'manifoldOffset'],
  ['shaftSpeed', 'airMassScale'],
  ['shaftSpeed', 'fuelScale'],
  ['shaftSpeed', 'powerScale'],
  ['airMassFlow', 'volumetricEfficiency'],
  ['fuelMassFlow', 'airMassScale'],
];

interface Cause {
  key: CauseKey;
  deviation: number;
  /** Residuals per prior deviation, over their own deviations. */
  pattern: number[];
}

/**
 * What may explain the residuals at what is entered, in groups that this log cannot tell apart: patterns with a cosine above 0.95. Each cause
 * is tried alone; its evidence is the change of the objective (prior and all), less what a free parameter gains by chance (Gaussian evidence,
 * MacKay, Neural Computation 4 (1992) 415: from memory). A group has that of its best member, shared with no claim inside it.
 */
export function findCauses(system: FitSystem, instruments: Instruments): CauseGroup[] {
  const causes = causesOf(system).filter(({ pattern }) => norm(pattern) >= LEAST_EFFECT);
  const residuals = system.lines.map((line) => line.residual / line.deviation);
  const groups = grouped(causes).map((members) => ({
    members,
    weight: Math.max(...members.map((cause) => evidence(cause, residuals))),
  }));
  const best = Math.max(0, ...groups.map(({ weight }) => weight));
  const whole = groups.reduce((sum, { weight }) => sum + Math.exp(weight - best), Math.exp(-best));
  return groups
    .sort((a, b) => b.weight - a.weight)
    .map(({ members, weight }) => {
      const probability = Math.exp(weight - best) / whole;
      // What would have to be absurdly far off is no explanation, unless nothing nearer is.
      const reach = members.map((cause) => Math.abs(alone(cause, residuals)));
      const possible = members.filter((_, i) => reach[i]! <= Math.max(ABSURD, Math.min(...reach)));
      const shown = possible.map((cause) => ({
        key: cause.key,
        alone: alone(cause, residuals) * cause.deviation,
        priorDeviation: cause.deviation,
      }));
      return {
        group: nameOf(possible, residuals),
        members: shown,
        probability,
        outside: shown.every((member) => Math.abs(member.alone) > OUTSIDE * member.priorDeviation),
        leads: probability >= LEADS,
        separatedBy: possible.length < 2 ? null : witnessFor(possible, instruments),
      };
    })
    .filter(({ probability }) => probability >= 0.01);
}

function causesOf({ lines, unknowns, prior }: FitSystem): Cause[] {
  const knots = unknowns.knotsRpm.length;
  const scaled = (of: (line: FitLine) => number, deviation: number) =>
    lines.map((line) => (of(line) * deviation) / line.deviation);
  // The curve as a whole: all knots alike.
  const common = Math.sqrt(
    prior[0]!.slice(0, knots).reduce((least, c) => Math.min(least, c), Number.POSITIVE_INFINITY),
  );
  const ofCurve = (line: FitLine) => line.slopes.slice(0, knots).reduce((sum, s) => sum + s, 0);
  return [
    { key: 'volumetricEfficiency', deviation: common, pattern: scaled(ofCurve, common) },
    ...unknowns.keys.map((key, i): Cause => {
      const entered = Math.sqrt(prior[knots + i]![knots + i]!);
      const deviation = key === 'shaftScale' ? Math.max(entered, SHAFT_FACTOR) : entered;
      return { key, deviation, pattern: scaled((line) => line.slopes[knots + i]!, deviation) };
    }),
  ];
}

const dot = (a: readonly number[], b: readonly number[]) => a.reduce((sum, x, i) => sum + x * b[i]!, 0);
const norm = (a: readonly number[]) => Math.sqrt(dot(a, a));

/** In prior deviations, were it alone. */
function alone({ pattern }: Cause, residuals: readonly number[]): number {
  return dot(pattern, residuals) / (dot(pattern, pattern) + 1);
}

function evidence(cause: Cause, residuals: readonly number[]): number {
  const square = dot(cause.pattern, cause.pattern) + 1;
  return 0.5 * (dot(cause.pattern, residuals) ** 2 / square - Math.log(square));
}

/** Groups in which every pattern is like every other: the two most alike are joined, until none are. A chain would join what differs. */
function grouped(causes: readonly Cause[]): Cause[][] {
  const likeness = (a: Cause, b: Cause) => Math.abs(dot(a.pattern, b.pattern)) / (norm(a.pattern) * norm(b.pattern));
  const groups = causes.map((cause) => [cause]);
  for (;;) {
    let best = { likeness: ALIKE, a: -1, b: -1 };
    for (let a = 0; a < groups.length; a++) {
      for (let b = a + 1; b < groups.length; b++) {
        const least = Math.min(...groups[a]!.flatMap((one) => groups[b]!.map((other) => likeness(one, other))));
        if (least > best.likeness) best = { likeness: least, a, b };
      }
    }
    if (best.a < 0) return groups;
    groups[best.a]!.push(...groups.splice(best.b, 1)[0]!);
  }
}

/** By what kind its members are, each counted by its evidence. */
function nameOf(members: readonly Cause[], residuals: readonly number[]): CauseGroupName {
  const weights = members.map((cause) => evidence(cause, residuals));
  const most = Math.max(...weights);
  const votes = new Map<CauseGroupName, number>();
  members.forEach(({ key }, i) => {
    votes.set(KIND[key], (votes.get(KIND[key]) ?? 0) + Math.exp(weights[i]! - most));
  });
  return [...votes].reduce((best, vote) => (vote[1] > best[1] ? vote : best))[0];
}

function witnessFor(members: readonly Cause[], instruments: Instruments): LogChannelKey | null {
  const found = WITNESSES.find(([channel, of]) => !instruments.has(channel) && members.some(({ key }) => key === of));
  return found?.[0] ?? null;
}

interface Offer {
  /** The first is what a log must have for the offer to be needless. */
  readonly channels: LogAdvice['channels'];
  /** What it observes at every bin, its deviation there, and the deviation of an error common to all bins. */
  readonly observes?: readonly [kind: Observed, deviation: number, common: number];
  /** What of the unknowns it measures directly. */
  readonly fixes?: readonly [key: NuisanceKey, deviation: number];
}

/** What can be added to a car, with what such instruments are good for (as `priorsOf`; common practice, no source). */
const OFFERS: readonly Offer[] = [
  { channels: ['shaftSpeed'], observes: ['shaft', 0.0012, 0.0005] },
  { channels: ['chargeTemperature'], observes: ['charge', 1, 1] },
  { channels: ['compressorInletTemperature'], fixes: ['inletTemperature', 1] },
  { channels: ['zero-gauge'], fixes: ['manifoldOffset', 150] },
  { channels: ['compressorInletPressure'], observes: ['inletPressure', 100, 300] },
  { channels: ['compressorOutletPressure'], observes: ['outletPressure', 300, 500] },
  { channels: ['airMassFlow'], observes: ['airMass', 0.005, 0.03] },
  { channels: ['fuelMassFlow', 'lambda'], observes: ['fuel', 0.005, 0.025] },
  { channels: ['brakePower'], observes: ['power', 0.007, 0.055] },
];

/** Less than this is no advice: share of the deviation that goes. */
const LEAST_GAIN = 0.02;

/**
 * What each further channel would make of the band of the volumetric efficiency, by the fit's own algebra: its observations added to the
 * posterior, with its own error common to all bins. Nothing but the derivatives is needed, so it is known before the channel is bought.
 */
export function whatToLogNext(path: CarPath, system: FitSystem, priors: Priors, instruments: Instruments): LogAdvice[] {
  const { bins, unknowns, posterior, theta } = system;
  const models = bins.map((bin) => binModel(path, unknowns, priors, bin, theta));
  const along = bins.map((bin) => knotWeights(unknowns, bin.engineSpeedRpm));
  const deviation = (covariance: FitSystem['prior']) =>
    rootMeanSquare(along.map((weights) => deviationAlong(covariance, weights)));
  const deviationNow = deviation(posterior);
  return OFFERS.filter(({ channels }) => !instruments.has(channels[0]!))
    .flatMap((offer) => {
      const lines = linesOf(offer, system, models);
      const covariance = withLines(posterior, lines, offer.observes?.[2] ?? 0);
      return covariance === null
        ? []
        : [{ channels: offer.channels, deviationNow, deviationThen: deviation(covariance) }];
    })
    .filter(({ deviationThen }) => deviationThen < (1 - LEAST_GAIN) * deviationNow)
    .sort((a, b) => a.deviationThen - b.deviationThen);
}

function linesOf(offer: Offer, { unknowns }: FitSystem, models: readonly (BinModel | null)[]): FitLine[] {
  const { observes, fixes } = offer;
  if (fixes !== undefined) {
    const slopes = [...unknowns.knotsRpm.map(() => 0), ...unknowns.keys.map((key) => Number(key === fixes[0]))];
    return [{ bin: 0, kind: 'shaft', residual: 0, deviation: fixes[1], slopes }];
  }
  if (observes === undefined) return [];
  const [kind, deviation] = observes;
  return models.flatMap((model, bin) =>
    model === null ? [] : [{ bin, kind, residual: 0, deviation, slopes: model.slopes.map((s) => s[kind]) }],
  );
}

/** Posterior with further lines that share one error of their own. */
function withLines(posterior: FitSystem['prior'], lines: readonly FitLine[], common: number): number[][] | null {
  const before = inverse(posterior);
  if (before === null) return null;
  const size = posterior.length + (common > 0 ? 1 : 0);
  const matrix = Array.from({ length: size }, (_, i) =>
    Array.from({ length: size }, (__, j) => before[i]?.[j] ?? (i === j ? 1 / common ** 2 : 0)),
  );
  for (const line of lines) {
    const slopes = common > 0 ? [...line.slopes, 1] : line.slopes;
    for (const [i, a] of slopes.entries()) {
      for (const [j, b] of slopes.entries()) matrix[i]![j]! += (a * b) / line.deviation ** 2;
    }
  }
  return inverse(matrix);
}
