import type { CompressorSurface } from '../types.ts';
import { donorLikeness, estimateBand } from './estimate-band.ts';
import { TransformedSurface } from './transformed-surface.ts';
import type { ScaledSurface, ScaleResult, ScalingWheel, SurfaceEstimate } from './types.ts';

/** Diameters of a map's own wheel, as its sheet gives them, m. */
export function donorWheel(surface: Pick<CompressorSurface, 'wheel'>): ScalingWheel {
  const { inducerMm, exducerMm } = surface.wheel;
  return {
    ...(inducerMm === undefined ? {} : { inducerM: inducerMm / 1000 }),
    ...(exducerMm === undefined ? {} : { exducerM: exducerMm / 1000 }),
  };
}

/**
 * The map of a wheel for which there is none, from the map of a donor: at equal tip speed pressure ratio and efficiency are those of
 * the donor, corrected speed goes with the inverse of the exducer diameter, and flow with area (similarity; e.g. Dixon and Hall, ch. 2).
 * Where the trims differ, flow at the choke end goes with the inducer's area and flow at surge with the exducer's, blended linearly in
 * beta between them (common practice, no source). Without both inducers equal trims are taken and the band is wider.
 *
 * @param donorSurface its reference state stays
 * @param donor diameters of the donor's wheel, m (`donorWheel(surface)` for those on its sheet)
 * @param wheel diameters of the wheel wanted, m
 * @returns a whole surface whose answers are all marked as estimated, without a rated speed (the maker's own must be entered); or why not
 */
export function scaleSurface(donorSurface: CompressorSurface, donor: ScalingWheel, wheel: ScalingWheel): ScaleResult {
  const donorExducer = positive(donor.exducerM);
  const exducer = positive(wheel.exducerM);
  if (donorExducer === null) return { ok: false, reason: 'no-donor-exducer' };
  if (exducer === null) return { ok: false, reason: 'no-exducer' };
  const donorInducer = positive(donor.inducerM);
  const inducer = positive(wheel.inducerM);
  const sizeRatio = exducer / donorExducer;
  const surgeFlowFactor = sizeRatio ** 2;
  const both = donorInducer !== null && inducer !== null;
  const chokeFlowFactor = both ? (inducer / donorInducer) ** 2 : surgeFlowFactor;
  const trimDifference = both ? 100 * ((inducer / exducer) ** 2 - (donorInducer / donorExducer) ** 2) : null;
  const caliperAtSurge = caliperShare(exducer, wheel.caliperM) + caliperShare(donorExducer, donor.caliperM);
  const caliperAtChoke = both
    ? caliperShare(inducer, wheel.caliperM) + caliperShare(donorInducer, donor.caliperM)
    : caliperAtSurge;
  const donorLimit = donorSurface.limits.shaftSpeedRpm;
  const estimate: SurfaceEstimate = {
    donor: { inducerM: donorInducer, exducerM: donorExducer },
    wheel: { inducerM: inducer, exducerM: exducer },
    sizeRatio,
    trimDifference,
    speedFactor: 1 / sizeRatio,
    surgeFlowFactor,
    chokeFlowFactor,
    donorLimitScaledRpm: donorLimit === undefined ? null : donorLimit / sizeRatio,
    likeness: donorLikeness(sizeRatio, trimDifference),
    band: estimateBand({ sizeRatio, trimDifference, caliperAtSurge, caliperAtChoke }),
  };
  const top = orderedUpTo(donorSurface, surgeFlowFactor, chokeFlowFactor);
  if (top === null) return { ok: false, reason: 'trims-too-different' };
  const surface = new TransformedSurface({
    source: donorSurface,
    highestSourceRpm: top,
    reference: donorSurface.reference,
    speedFactor: 1 / sizeRatio,
    surgeFlowFactor,
    chokeFlowFactor,
    limits: {},
    wheel: { exducerMm: exducer * 1000, ...(inducer === null ? {} : { inducerMm: inducer * 1000 }) },
    estimate,
  });
  return { ok: true, surface: surface as ScaledSurface };
}

function positive(length: number | undefined): number | null {
  return length !== undefined && length > 0 && Number.isFinite(length) ? length : null;
}

/** Relative width of an area that a diameter's width gives, to first order. */
function caliperShare(diameterM: number, caliperM: number | undefined): number {
  return (2 * Math.max(0, caliperM ?? 0)) / diameterM;
}

/** Least share by which the choke end must stay right of surge. */
const LEAST_ROOM = 1.005;

/**
 * Highest donor speed up to which there is room between surge and choke on every line; null where there is none on an entered line.
 * Narrow maps run out of it in the extension above their top line first, which is then cut short.
 */
function orderedUpTo(surface: CompressorSurface, surgeFactor: number, chokeFactor: number): number | null {
  const { lowestLineRpm, highestLineRpm, highestAnswerRpm } = surface;
  const hasRoom = (speed: number): boolean => {
    const surge = surface.surgeAt(speed)?.correctedMassFlowKgPerS;
    const choke = surface.chokeAt(speed)?.correctedMassFlowKgPerS;
    return surge !== undefined && choke !== undefined && chokeFactor * choke > LEAST_ROOM * surgeFactor * surge;
  };
  for (let i = 0; i <= 24; i++) {
    if (!hasRoom(lowestLineRpm + ((highestLineRpm - lowestLineRpm) * i) / 24)) return null;
  }
  if (hasRoom(highestAnswerRpm)) return highestAnswerRpm;
  let low = highestLineRpm;
  let high = highestAnswerRpm;
  for (let i = 0; i < 30; i++) {
    const middle = 0.5 * (low + high);
    if (hasRoom(middle)) low = middle;
    else high = middle;
  }
  return low;
}
