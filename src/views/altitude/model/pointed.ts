import type { CeilingTable, Place } from '../../../match/index.ts';

/** What is pointed at, snapped to what was computed. */
export interface Pointed {
  engineSpeedRpm: number | null;
  altitudeM: number | null;
}

/** Index of the number nearest to a wanted one; -1 for none. */
export function nearestIndex(values: readonly (number | null)[], wanted: number): number {
  let best = -1;
  let least = Number.POSITIVE_INFINITY;
  values.forEach((value, i) => {
    if (value === null || Math.abs(value - wanted) >= least) return;
    least = Math.abs(value - wanted);
    best = i;
  });
  return best;
}

/** The place nearest to an altitude; grid rows stand before saved places and win a tie. */
export function nearestPlace(places: readonly Place[], altitudeM: number): number {
  return nearestIndex(
    places.map((place) => place.altitudeM),
    altitudeM,
  );
}

/** The altitude that is read where an engine speed is pointed at and no altitude yet: the highest, as in the read-out. */
export function readAltitudeM(places: readonly Place[], { engineSpeedRpm, altitudeM }: Pointed): number | null {
  if (altitudeM !== null || engineSpeedRpm === null) return altitudeM;
  return places.at(-1)?.altitudeM ?? null;
}

/** Row and column of a table that are pointed at; -1 where nothing is. */
export function pointedCell(table: Pick<CeilingTable, 'places' | 'engineSpeedsRpm'>, pointed: Pointed) {
  return {
    row: pointed.altitudeM === null ? -1 : nearestPlace(table.places, pointed.altitudeM),
    column: pointed.engineSpeedRpm === null ? -1 : nearestIndex(table.engineSpeedsRpm, pointed.engineSpeedRpm),
  };
}
