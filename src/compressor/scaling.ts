import { sheetFlowFactor } from '../units/index.ts';
import { TransformedSurface } from './transformed-surface.ts';
import type { CompressorSurface, MapSheet, ReferenceState } from './types.ts';

/** Diameters of a compressor wheel for scaling, m. */
export interface ScalingWheel {
  inducerM?: number | undefined;
  exducerM?: number | undefined;
  /** Half width of what the diameters may be off; left out: exactly known. */
  caliperM?: number | undefined;
}

/**
 * Half widths within which the true map is expected to lie, as shares (efficiency: as points, 0.02 for 2 points). Common practice, no
 * source: see `estimateBand`.
 */
export interface EstimateBand {
  correctedSpeed: number;
  /** Near surge and near choke. */
  surgeFlow: number;
  chokeFlow: number;
  pressureRatio: number;
  efficiency: number;
}

/** How like the donor is to the wheel. 'far': hardly more than a guess. */
export type DonorLikeness = 'near' | 'fair' | 'far';

/** How a surface was made from another wheel's map. */
export interface SurfaceEstimate extends Omit<SurfaceTransform, 'reference'> {
  /** Larger diameter of the wheel over that of the donor. */
  sizeRatio: number;
  /** Trim of the wheel less that of the donor; null where an inducer is not known, and then equal trims are taken. */
  trimDifference: number | null;
  /** The donor sheet's rated speed at the same tip speed; no limit of this wheel, for which the maker's own holds. */
  donorLimitScaledRpm: number | null;
  likeness: DonorLikeness;
  band: EstimateBand;
}

/** How points of one surface become points of another: speed and flow by factors, pressure ratio and efficiency as they are. */
export interface SurfaceTransform {
  reference: ReferenceState;
  speedFactor: number;
  surgeFlowFactor: number;
  chokeFlowFactor: number;
}

/** A surface that says how it was estimated. */
export type ScaledSurface = CompressorSurface & {
  readonly estimate: SurfaceEstimate;
  /** Flow here of a flow on a speed line of the donor; null where the donor does not know the ends of the line. */
  flowFromSource(sourceFlowKgPerS: number, sourceSpeedRpm: number): number | null;
};

/**
 * 'no-exducer', 'no-donor-exducer': without both larger diameters nothing can be scaled. 'trims-too-different': no room would be left
 * between surge and choke.
 */
export type NoScaleReason = 'no-exducer' | 'no-donor-exducer' | 'trims-too-different';

export type ScaleResult = { ok: true; surface: ScaledSurface } | { ok: false; reason: NoScaleReason };

/** What the band depends on. */
interface DonorDistance {
  sizeRatio: number;
  /** null: not known. */
  trimDifference: number | null;
  /** Relative widths of the flow factors that the calipers give. */
  caliperAtSurge: number;
  caliperAtChoke: number;
}

/** An unknown trim counts like one this many points off: about the spread of trims in one family of wheels. */
const UNKNOWN_TRIM_POINTS = 8;

/**
 * Half widths of a scaled map. Common practice, no source: similarity holds exactly only for wheel, diffuser and volute of one shape.
 * At no distance 3 % of flow, 2 % of pressure ratio and 1.5 points of efficiency stand for everything that two wheels of equal size
 * and trim may differ in (blade angles, diffuser, clearance, surface). Each point of trim adds 0.4 % of flow, because blending between
 * inducer and exducer area is itself a guess, and 0.1 point of efficiency. Size adds 10 % of the logarithm of the diameter ratio to
 * flow and 5 % of it to efficiency: clearances do not scale, and losses fall with Reynolds number to about the power -0.2 (Dixon and
 * Hall, ch. 2, from memory), a twentieth of the efficiency for each e-fold of size. What the calipers may be off is added.
 */
function estimateBand(distance: DonorDistance): EstimateBand {
  const points = Math.abs(distance.trimDifference ?? UNKNOWN_TRIM_POINTS);
  const size = Math.abs(Math.log(distance.sizeRatio));
  const flow = 0.03 + 0.004 * points + 0.1 * size;
  return {
    // Head goes with speed squared, so that speed is known better than pressure ratio; a diameter counts once, an area twice.
    correctedSpeed: 0.015 + 0.001 * points + 0.03 * size + 0.5 * distance.caliperAtSurge,
    surgeFlow: flow + distance.caliperAtSurge,
    chokeFlow: flow + distance.caliperAtChoke,
    pressureRatio: 0.02 + 0.001 * points + 0.05 * size,
    efficiency: 0.015 + 0.001 * points + 0.05 * size,
  };
}

/** How like a donor is. Common practice, no source. Without both trims it is never 'near'. */
function donorLikeness(sizeRatio: number, trimDifference: number | null): DonorLikeness {
  const points = Math.abs(trimDifference ?? UNKNOWN_TRIM_POINTS);
  const size = Math.abs(Math.log(sizeRatio));
  if (points <= 3 && size <= Math.log(1.1)) return 'near';
  return points <= 8 && size <= Math.log(1.3) ? 'fair' : 'far';
}

/** With more than this in doubt a map says less than the areas of the wheels do (common practice, no source). */
const MOST_FLOW_BAND = 0.18;

/** Whether a scaled map with this band is worth being computed on. */
export function isUsableBand(band: EstimateBand): boolean {
  return Math.max(band.surgeFlow, band.chokeFlow) <= MOST_FLOW_BAND;
}

/** A map on the shelf with the wheel on its sheet, m. */
export interface ShelfDonor {
  id: string;
  name: string;
  wheel: ScalingWheel;
}

export interface RankedDonor extends Pick<ShelfDonor, 'id' | 'name'> {
  likeness: DonorLikeness;
  band: EstimateBand;
  /** One plain sentence without units. */
  reason: string;
}

/**
 * Maps of the shelf that could be scaled to a wheel, the likest first: ranked by the flow band that scaling them would have, which
 * grows with the distance in trim and in size. Maps without an exducer diameter are left out: nothing can be scaled from them.
 *
 * @param wheel with its exducer diameter; without one the list is empty
 */
export function nearestDonors(wheel: ScalingWheel, shelf: readonly ShelfDonor[]): RankedDonor[] {
  return shelf
    .flatMap((donor): RankedDonor[] => {
      const sizeRatio = (wheel.exducerM ?? 0) / (donor.wheel.exducerM ?? 0);
      if (!(sizeRatio > 0 && Number.isFinite(sizeRatio))) return [];
      const wanted = trimOf(wheel);
      const offered = trimOf(donor.wheel);
      const trimDifference = wanted === null || offered === null ? null : wanted - offered;
      const likeness = donorLikeness(sizeRatio, trimDifference);
      const band = estimateBand({ sizeRatio, trimDifference, caliperAtSurge: 0, caliperAtChoke: 0 });
      const { id, name } = donor;
      return [{ id, name, likeness, band, reason: donorReason(sizeRatio, trimDifference) }];
    })
    .sort((a, b) => a.band.chokeFlow - b.band.chokeFlow || a.name.localeCompare(b.name, 'en'));
}

function trimOf({ inducerM, exducerM }: ScalingWheel): number | null {
  const trim = 100 * ((inducerM ?? 0) / (exducerM ?? 0)) ** 2;
  return trim > 0 && Number.isFinite(trim) ? trim : null;
}

/** Of the donor, seen from the wheel wanted. */
function donorReason(sizeRatio: number, trimDifference: number | null): string {
  const percent = Math.round(100 * (1 / sizeRatio - 1));
  const size = percent === 0 ? 'wheel of the same size' : `wheel ${Math.abs(percent)} % ${side(percent)}`;
  if (trimDifference === null) return `Its ${size}; one of the trims is not known.`;
  const points = Math.round(-trimDifference);
  const trim =
    points === 0
      ? 'trim the same'
      : `trim ${Math.abs(points)} ${Math.abs(points) === 1 ? 'point' : 'points'} ${side(points)}`;
  return `Its ${size}, ${trim}.`;
}

function side(difference: number): string {
  return difference > 0 ? 'larger' : 'smaller';
}

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
  const donorExducer = lengthOf(donor.exducerM);
  const exducer = lengthOf(wheel.exducerM);
  if (donorExducer === null) return { ok: false, reason: 'no-donor-exducer' };
  if (exducer === null) return { ok: false, reason: 'no-exducer' };
  const donorInducer = lengthOf(donor.inducerM);
  const inducer = lengthOf(wheel.inducerM);
  const sizeRatio = exducer / donorExducer;
  const surgeFlowFactor = sizeRatio ** 2;
  const both = donorInducer !== null && inducer !== null;
  const chokeFlowFactor = both ? (inducer / donorInducer) ** 2 : surgeFlowFactor;
  const trimDifference = both ? 100 * ((inducer / exducer) ** 2 - (donorInducer / donorExducer) ** 2) : null;
  const caliperAtSurge = caliperShare(exducer, wheel.caliperM) + caliperShare(donorExducer, donor.caliperM);
  const caliperAtChoke = both
    ? caliperShare(inducer, wheel.caliperM) + caliperShare(donorInducer, donor.caliperM)
    : caliperAtSurge;
  const factors = { speedFactor: 1 / sizeRatio, surgeFlowFactor, chokeFlowFactor };
  const donorLimit = donorSurface.limits.shaftSpeedRpm;
  const estimate: SurfaceEstimate = {
    ...factors,
    sizeRatio,
    trimDifference,
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
    ...factors,
    limits: {},
    wheel: { exducerMm: exducer * 1000, ...(inducer === null ? {} : { inducerMm: inducer * 1000 }) },
    estimate,
  });
  return { ok: true, surface: surface as ScaledSurface };
}

function lengthOf(length: number | undefined): number | null {
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

/**
 * Factors from corrected flow and speed at one reference state to those at another: Wc ~ sqrt(T01/Tref) pref/p01 and
 * Nc ~ 1/sqrt(T01/Tref), so that flow goes with sqrt(Tfrom/Tto) pto/pfrom and speed with sqrt(Tto/Tfrom).
 * Source: delta and theta of NASA practice (NASA TM X-71633). Exact for the same gas.
 *
 * @param from K and Pa, above 0
 * @param to K and Pa, above 0
 */
export function referenceFactors(from: ReferenceState, to: ReferenceState): { flow: number; speed: number } {
  const root = Math.sqrt(to.temperatureK / from.temperatureK);
  return { flow: to.pressurePa / from.pressurePa / root, speed: root };
}

/**
 * The same map at another reference state: what puts two maps on equal axes. The rated speed is a physical one and stays.
 * @returns the very same surface where the states are equal
 */
export function referTo(surface: CompressorSurface, reference: ReferenceState): CompressorSurface {
  const { temperatureK, pressurePa } = surface.reference;
  if (temperatureK === reference.temperatureK && pressurePa === reference.pressurePa) return surface;
  const { flow, speed } = referenceFactors(surface.reference, reference);
  return new TransformedSurface({
    source: surface,
    reference,
    speedFactor: speed,
    surgeFlowFactor: flow,
    chokeFlowFactor: flow,
    limits: surface.limits,
    wheel: surface.wheel,
    ...(surface.estimate === undefined ? {} : { estimate: surface.estimate }),
  });
}

type MapPlace = { flow: number; pressureRatio: number };

/** A sheet with its points moved, flow in kg/s. Points for which `flowAt` gives null are left out. */
function moved(
  sheet: MapSheet,
  speedFactor: number,
  flowAt: { line: (flow: number, speedRpm: number) => number | null; place: (place: MapPlace) => number | null },
): MapSheet {
  const along = <P extends MapPlace>(points: readonly P[], of: (point: P) => number | null): P[] =>
    points.flatMap((point) => {
      const flow = of(point);
      return flow === null ? [] : [{ ...point, flow }];
    });
  const { surgeLine, islands } = sheet;
  return {
    ...sheet,
    flowUnit: 'kg/s',
    speedLines: sheet.speedLines.map(({ speedRpm, points }) => ({
      speedRpm: speedRpm * speedFactor,
      points: along(points, ({ flow }) => flowAt.line(flow, speedRpm)),
    })),
    ...(surgeLine === undefined ? {} : { surgeLine: along(surgeLine, flowAt.place) }),
    ...(islands === undefined
      ? {}
      : { islands: islands.map((island) => ({ ...island, points: along(island.points, flowAt.place) })) }),
  };
}

/**
 * The donor's sheet as that of the scaled wheel, flow in kg/s: its lines, points, surge line and islands moved as the surface moves
 * them, for drawing and tables. No rated speed: the donor's is not this wheel's. A point whose speed the donor does not know is left out.
 */
export function scaledSheet(donor: MapSheet, donorSurface: CompressorSurface, scaled: ScaledSurface): MapSheet {
  const factor = sheetFlowFactor(donor.flowUnit, donor.reference);
  const line = (flow: number, speedRpm: number) => scaled.flowFromSource(flow * factor, speedRpm);
  const place = ({ flow, pressureRatio }: MapPlace) => {
    const speedRpm = donorSurface.at(flow * factor, pressureRatio).correctedSpeedRpm;
    return speedRpm === null ? null : line(flow, speedRpm);
  };
  const { limits: _limits, ...kept } = moved(donor, scaled.estimate.speedFactor, { line, place });
  return { ...kept, wheel: scaled.wheel };
}

/** A sheet brought to another reference state, flow in kg/s: what the tables and the plot of two maps on equal axes are made of. */
export function referredSheet(sheet: MapSheet, reference: ReferenceState): MapSheet {
  const factors = referenceFactors(sheet.reference, reference);
  const factor = sheetFlowFactor(sheet.flowUnit, sheet.reference) * factors.flow;
  const place = ({ flow }: { flow: number }) => flow * factor;
  return { ...moved(sheet, factors.speed, { line: (flow) => flow * factor, place }), reference };
}
