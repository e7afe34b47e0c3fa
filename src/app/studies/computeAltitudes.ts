import { type Build, calibrationOptions, type StudyPlaces, studyPlaces, tryMatchInput } from '../../build/index.ts';
import { calibrationTable, compareControllers, holdGoal, ownPlace, solveCeilings } from '../../match/index.ts';
import type { MatchInput } from '../../match/types.ts';
import type { AltitudeStudy, CandidateStudy } from '../../store/index.ts';
import { studyLimitsOf } from './studyLimitsOf.ts';
import { studySpeeds } from './studySpeeds.ts';

/** Everything that the Altitude view shows of a build, for each of its candidates. Pure; takes tenths of a second. */
export function computeAltitudes(build: Build): Omit<AltitudeStudy, 'build'> {
  const places = studyPlaces(build);
  const candidates = build.candidates.map((_, index) => {
    const read = tryMatchInput(build, index);
    return read.ok ? candidateStudy(build, read.input, places) : null;
  });
  return { places, candidates };
}

function candidateStudy(build: Build, input: MatchInput, places: StudyPlaces): CandidateStudy {
  const engineSpeedsRpm = studySpeeds(input.engineSpeedsRpm);
  const limits = studyLimitsOf(build, input);
  const { rangeM, rule, field } = places;
  const rows = [...places.grid, ...places.saved];
  const altitude = rangeM === null || rule === null ? undefined : { fromM: rangeM[0], toM: rangeM[1], rule };
  const ceilings = solveCeilings(input, rows, engineSpeedsRpm, limits);
  const options = calibrationOptions(build);
  const heldAtRows = holdGoal(input, { places: rows, engineSpeedsRpm, limits });
  return {
    ceilings,
    field: solveCeilings(input, field, engineSpeedsRpm, limits),
    held: holdGoal(input, { places: field, engineSpeedsRpm, limits, altitude }),
    // The target is what the goal comes to where the car stands today: that is where it is calibrated.
    controllers: compareControllers(input, { places: [ownPlace(input), ...field], engineSpeedsRpm, limits, altitude }),
    calibration: options === null ? null : calibrationTable(ceilings, heldAtRows, options),
  };
}
