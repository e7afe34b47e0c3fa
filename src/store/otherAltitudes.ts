import { type Build, studyPlaces } from '../build/index.ts';
import { inputAt, type MatchInput, type OperatingPoint, solveOperatingLine } from '../match/index.ts';
import { memory } from '../numerics/index.ts';

/** The operating line of the same build at another altitude, for comparing on the map. */
interface AltitudeLine {
  altitudeM: number;
  points: readonly OperatingPoint[];
}

/** Fewer points than the line of the day has: these lines are looked at, not read. */
const MOST_SPEEDS = 25;
/** Nearer to the day's own altitude than this, a line would lie on that of the day. */
const LEAST_APART_M = 100;

const known = memory<MatchInput, readonly AltitudeLine[]>();

/**
 * Operating lines at the lowest, the middle and the highest altitude of the study, but for one that is hardly another than the day's.
 * Remembered while input and altitudes are the same; three lines take about as long as that of the day.
 */
export function otherAltitudeLines(
  build: Build,
  input: MatchInput,
  dayAltitudeM: number | null,
): readonly AltitudeLine[] {
  return known(input, [build.altitudes], () => solveLines(build, input, dayAltitudeM));
}

function solveLines(build: Build, input: MatchInput, dayAltitudeM: number | null): readonly AltitudeLine[] {
  const { field } = studyPlaces(build);
  const picked = [...new Set([field[0], field[Math.floor((field.length - 1) / 2)], field.at(-1)])];
  const engineSpeedsRpm = thinned(input.engineSpeedsRpm);
  return picked.flatMap((place): AltitudeLine[] => {
    const altitudeM = place?.altitudeM ?? null;
    if (place === undefined || altitudeM === null) return [];
    if (dayAltitudeM !== null && Math.abs(altitudeM - dayAltitudeM) < LEAST_APART_M) return [];
    return [{ altitudeM, points: solveOperatingLine({ ...inputAt(input, place.ambient), engineSpeedsRpm }) }];
  });
}

function thinned(speeds: readonly number[]): readonly number[] {
  const last = speeds.length - 1;
  if (last < MOST_SPEEDS) return speeds;
  return Array.from({ length: MOST_SPEEDS }, (_, i) => speeds[Math.round((i * last) / (MOST_SPEEDS - 1))] ?? 0);
}
