import type { CarPath } from './car-path.ts';
import { binModel, knotWeights, type Observed } from './fit-design.ts';
import { deviationAlong, type FitLine, type FitSystem, inverse, rootMeanSquare } from './joint-fit.ts';
import type { LogAdvice, NuisanceKey } from './result-types.ts';
import type { Instruments, Priors } from './row-bands.ts';

interface Offer {
  readonly channels: LogAdvice['channels'];
  readonly has: (instruments: Instruments) => boolean;
  /** What it observes at every bin, its deviation there, and the deviation of an error common to all bins. */
  readonly observes?: readonly [kind: Observed, deviation: number, common: number];
  /** What of the unknowns it measures directly. */
  readonly fixes?: readonly [key: NuisanceKey, deviation: number];
}

/** What can be added to a car, with what such instruments are good for (as `priorsOf`; common practice, no source). */
const OFFERS: readonly Offer[] = [
  { channels: ['shaftSpeed'], has: (i) => i.shaft, observes: ['shaft', 0.0012, 0.0005] },
  { channels: ['chargeTemperature'], has: (i) => i.chargeTemperature, observes: ['charge', 1, 1] },
  { channels: ['compressorInletTemperature'], has: (i) => i.inletTemperature, fixes: ['inletTemperature', 1] },
  { channels: ['zero-gauge'], has: (i) => i.zeroed, fixes: ['manifoldOffset', 150] },
  { channels: ['compressorInletPressure'], has: (i) => i.inletPressure, observes: ['inletPressure', 100, 300] },
  { channels: ['compressorOutletPressure'], has: (i) => i.outletPressure, observes: ['outletPressure', 300, 500] },
  { channels: ['airMassFlow'], has: (i) => i.airMass, observes: ['airMass', 0.005, 0.03] },
  { channels: ['fuelMassFlow', 'lambda'], has: (i) => i.fuel, observes: ['fuel', 0.005, 0.025] },
  { channels: ['brakePower'], has: (i) => i.power, observes: ['power', 0.007, 0.055] },
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
  return OFFERS.filter((offer) => !offer.has(instruments))
    .flatMap((offer) => {
      const lines = linesOf(
        offer,
        system,
        models.map((model) => model?.slopes ?? null),
      );
      const covariance = withLines(posterior, lines, offer.observes?.[2] ?? 0);
      return covariance === null
        ? []
        : [{ channels: offer.channels, deviationNow, deviationThen: deviation(covariance) }];
    })
    .filter(({ deviationThen }) => deviationThen < (1 - LEAST_GAIN) * deviationNow)
    .sort((a, b) => a.deviationThen - b.deviationThen);
}

function linesOf(
  offer: Offer,
  { unknowns }: FitSystem,
  models: readonly (readonly Readonly<Record<Observed, number>>[] | null)[],
): FitLine[] {
  const { observes, fixes } = offer;
  if (fixes !== undefined) {
    const slopes = [...unknowns.knotsRpm.map(() => 0), ...unknowns.keys.map((key) => Number(key === fixes[0]))];
    return [{ bin: 0, kind: 'shaft', residual: 0, deviation: fixes[1], slopes }];
  }
  if (observes === undefined) return [];
  const [kind, deviation] = observes;
  return models.flatMap((model, bin) =>
    model === null ? [] : [{ bin, kind, residual: 0, deviation, slopes: model.map((s) => s[kind]) }],
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
