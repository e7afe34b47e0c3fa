import {
  type Build,
  calibrationOptions,
  type MapDraft,
  mapsOf,
  readControlTable,
  type StudyPlaces,
  sameContent,
  spreadSetup,
  studyPlaces,
  tolerancesOf,
  tryMatchInput,
  withMapsOf,
} from '../../build/index.ts';
import {
  calibrationTable,
  compareControllers,
  controlTable,
  type HeldFrom,
  holdGoal,
  lowestHeldPressure,
  lowestWithGateOpen,
  ownPlace,
  type SolvedSamples,
  solveCeilings,
  startSpread,
} from '../../match/index.ts';
import type { MatchInput, StudyLimits } from '../../match/types.ts';
import type { AltitudeStudy, CandidateStudy, SpreadStudy, TableStudy } from '../../store/index.ts';

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
  const heldFrom: HeldFrom = (place, ceiling, from) => lowestHeldPressure(input, limits, place, ceiling, from);
  const heldAtRows = holdGoal(input, { places: rows, engineSpeedsRpm, limits });
  return {
    ceilings,
    field: solveCeilings(input, field, engineSpeedsRpm, limits),
    held: holdGoal(input, { places: field, engineSpeedsRpm, limits, altitude }),
    gateOpenPa: lowestWithGateOpen(input, field, engineSpeedsRpm),
    // The target is what the goal comes to where the car stands today: that is where it is calibrated.
    controllers: compareControllers(input, { places: [ownPlace(input), ...field], engineSpeedsRpm, limits, altitude }),
    calibration: options === null ? null : calibrationTable(ceilings, heldAtRows, options, heldFrom),
  };
}

/**
 * The spread of one candidate where the car stands, prepared and not solved yet.
 * @throws Error with a sentence for the person when an entry stands in the way
 */
export function preparedSpread(build: Build, candidateIndex: number) {
  const read = tryMatchInput(build, candidateIndex);
  if (!read.ok)
    throw new Error(read.problems[0]?.message ?? 'The inputs cannot be read. Check them in the Match view.');
  const { tolerances, samples, seed } = readSpreadSetup(build, read.input);
  const limits = studyLimitsOf(build, read.input);
  const engineSpeedsRpm = studySpeeds(read.input.engineSpeedsRpm, MOST_FOR_SPREAD);
  const started = startSpread(read.input, tolerances, { samples, seed, limits, engineSpeedsRpm });
  if (!started.ok) throw new Error(started.message);
  const { run } = started;
  const study = (): Omit<SpreadStudy, 'build'> => ({
    candidateIndex,
    ambientPressurePa: read.input.ambient.pressurePa,
    spread: run.result(),
  });
  return { run, study };
}

/** Samples that are solved before others are listened to, and that a helper is given at once: some milliseconds of work. */
const SAMPLES_AT_ONCE = 16;

/** What solves samples of a spread elsewhere; rejects when it cannot. */
export type SampleHelper = (from: number, to: number) => Promise<SolvedSamples>;

/**
 * The spread, its samples shared out among this thread and helpers as each gets done with them. Whatever the split, the numbers are the same:
 * samples do not know of each other. Helpers are not waited for: what one fails at, or still has when all else is solved, is solved
 * here. Takes some tenths of a second.
 * @throws Error as `preparedSpread`
 */
export async function computeSpread(
  build: Build,
  candidateIndex: number,
  onProgress?: (share: number) => void,
  helpers: readonly SampleHelper[] = [],
): Promise<Omit<SpreadStudy, 'build'>> {
  const { run, study } = preparedSpread(build, candidateIndex);
  const told = () => onProgress?.(run.samplesDone / run.plan.samples);
  const dealtOut = new Set<{ from: number; to: number }>();
  const share = async (helper: SampleHelper) => {
    for (let isGood = true; isGood; ) {
      const dealt = run.deal(SAMPLES_AT_ONCE);
      if (dealt === null) return;
      dealtOut.add(dealt);
      const solved = await helper(dealt.from, dealt.to).catch(() => null);
      if (!dealtOut.delete(dealt)) return;
      if (solved !== null) run.take(solved);
      else run.solve(dealt.from, dealt.to);
      isGood = solved !== null;
      told();
    }
  };
  for (const helper of helpers) void share(helper);
  while (run.step(SAMPLES_AT_ONCE)) {
    told();
    if (helpers.length > 0) await nextTurn();
  }
  // What was dealt out last is begun last: the rest may come in meanwhile.
  for (const dealt of [...dealtOut].reverse()) {
    if (!dealtOut.delete(dealt)) continue;
    run.solve(dealt.from, dealt.to);
    told();
    await nextTurn();
  }
  return study();
}

/** Lets messages in; a timer would wait some milliseconds each time. */
function nextTurn(): Promise<void> {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      resolve();
    };
    port2.postMessage(null);
  });
}

/**
 * The table for the control unit, of one candidate. Pure; takes seconds where it is large.
 * @throws Error with a sentence for the person when an entry stands in the way
 */
export function computeTable(
  build: Build,
  candidateIndex: number,
  onProgress?: (share: number) => void,
): Omit<TableStudy, 'build'> {
  const read = tryMatchInput(build, candidateIndex);
  if (!read.ok)
    throw new Error(read.problems[0]?.message ?? 'The inputs cannot be read. Check them in the Match view.');
  const { setup, problems } = readControlTable(build);
  if (setup === null) throw new Error(problems[0]?.message ?? 'The entries of the table cannot be read. Check them.');
  let told = -1;
  const result = controlTable(read.input, {
    ...setup.options,
    limits: studyLimitsOf(build, read.input),
    // A hundred messages at most: more would hold up the page.
    onProgress: (share) => {
      const percent = Math.floor(share * 100);
      if (percent > told) onProgress?.(share);
      told = percent;
    },
  });
  if (!result.ok) throw new Error(result.message);
  return { candidateIndex, setup, table: result.table };
}

/**
 * The tolerances of a build for one of its candidates.
 * @throws Error with a sentence for the person when one cannot be read
 */
export function readSpreadSetup(build: Build, input: MatchInput) {
  const { setup, problems } = spreadSetup(build);
  if (setup === null) throw new Error(problems[0]?.message ?? 'The tolerances cannot be read. Check them.');
  return { ...setup, tolerances: tolerancesOf(setup.tolerances, input) };
}

/**
 * A message brings every map as a new object, and the surface of a map is remembered by its object: this puts the objects of earlier
 * messages in place where the content is the same, so that a map is fitted once.
 */
export function rememberMaps(): (build: Build) => Build {
  let known: readonly MapDraft[] = [];
  return (build) => {
    const candidates = build.candidates.map((candidate) =>
      withMapsOf(candidate, (map) => known.find((other) => sameContent(other, map)) ?? map),
    );
    known = candidates.flatMap(mapsOf);
    return { ...build, candidates };
  };
}

/** The limits of a build as its studies hold them. */
export function studyLimitsOf(build: Build, input: MatchInput): StudyLimits {
  return { ...input.limits, stayBelowTopLine: build.limits.stayBelowTopLine };
}

/** More engine speeds than this make a study slower, not clearer; a spread solves each of them a thousand times. */
const MOST = 41;
export const MOST_FOR_SPREAD = 15;

/** Engine speeds of a study: those of the operating line, or evenly picked ones of them, both ends always among them. */
export function studySpeeds(engineSpeedsRpm: readonly number[], most = MOST): readonly number[] {
  const last = engineSpeedsRpm.length - 1;
  if (last < most) return engineSpeedsRpm;
  const picked = Array.from({ length: most }, (_, i) => engineSpeedsRpm[Math.round((i * last) / (most - 1))] ?? 0);
  return [...new Set(picked)];
}
