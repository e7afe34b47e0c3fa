import { donorLikeness, estimateBand } from './estimate-band.ts';
import type { DonorLikeness, EstimateBand, ScalingWheel } from './types.ts';

/** A map on the shelf with the wheel on its sheet, m. */
export interface ShelfDonor {
  id: string;
  name: string;
  wheel: ScalingWheel;
}

export interface RankedDonor {
  id: string;
  name: string;
  /** Larger diameter wanted over that of the donor. */
  sizeRatio: number;
  /** Trim wanted less that of the donor; null where an inducer is not known. */
  trimDifference: number | null;
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
      return [{ id, name, sizeRatio, trimDifference, likeness, band, reason: reason(sizeRatio, trimDifference) }];
    })
    .sort((a, b) => a.band.chokeFlow - b.band.chokeFlow || a.name.localeCompare(b.name, 'en'));
}

function trimOf({ inducerM, exducerM }: ScalingWheel): number | null {
  const trim = 100 * ((inducerM ?? 0) / (exducerM ?? 0)) ** 2;
  return trim > 0 && Number.isFinite(trim) ? trim : null;
}

/** Of the donor, seen from the wheel wanted. */
function reason(sizeRatio: number, trimDifference: number | null): string {
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
