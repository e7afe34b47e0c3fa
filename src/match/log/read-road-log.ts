import { checkInput } from '../check-input.ts';
import { USUAL_TOLERANCES } from '../studies/samples.ts';
import type { Ambient, MatchInput } from '../types.ts';
import { CarPath } from './car-path.ts';
import { findCauses, whatToLogNext } from './causes.ts';
import { meterCheck } from './flow-meter.ts';
import { fittedLogVe, inputDeviation, jointFit, shownFit, vePriors } from './joint-fit.ts';
import { type LogFrame, logFrame, median } from './log-frame.ts';
import { findPulls, type WorkRow, workRows } from './log-rows.ts';
import { gaugeZero, highestShaftSpeeds, limitWarnings, lostWarnings, warning } from './log-warnings.ts';
import { compareMeters, shaftImbalance } from './meter-comparison.ts';
import { fillingShareOf, isLagging, type MeteredRow, meterRows, rechosen, shownRow } from './metered-rows.ts';
import type { RoadLogOptions, RoadLogPull, RoadLogResult, RoadLogWarning } from './result-types.ts';
import { type Instruments, priorsOf } from './row-bands.ts';
import { bladeVerdict, findLag, findProbe, withoutLag, withoutProbe } from './shaft-sensor.ts';
import { surgeTones } from './surge-tones.ts';
import type { RoadLog } from './types.ts';

/** A litre of displacement has this much charge path behind it (measured on one 1.95-litre engine: 12.5 L; known to half). */
const VOLUME_PER_DISPLACEMENT = 6;
/** The shaft speed is off by more than any car's inputs are. */
const WRONG_CAR = 0.2;
/** A shaft speed that is off by more is not fitted: another blade count, or none, explains it. */
const MOST_EXPLAINED = 0.06;
/** A filling above this makes a row no witness of the blade count. */
const QUIET_FILLING = 0.05;

/**
 * What a road log says of the car: its full-throttle pulls, every row on the map with its band, the blade count that the shaft speed fits,
 * the sensor's lag, what is over a limit; the volumetric efficiency of the whole log with its band, what may be off beside it, and what to log
 * next.
 *
 * Shaft speed and pressure ratio are inverted on the map for flow, and flow for volumetric efficiency; losses, cooler, humidity and
 * back-pressure by the relations of the operating line, measured stations in place of computed ones. Works with or without a turbine, with
 * or without time (then no filling, lag or surge). Nothing found is applied but the sensor's lag and the filling of the charge path.
 *
 * @param input the car as entered, SI
 * @param log channels in SI, see LogChannel; at least engine speed and manifold pressure
 * @returns plain data. Never throws; what stands in the way is a warning of severity 'stop', and the parts it touches are empty or null.
 */
export function readRoadLog(input: MatchInput, log: RoadLog, options: RoadLogOptions = {}): RoadLogResult {
  const frame = logFrame(log, options.removed);
  const { ambient, ambientFrom } = dayOf(input, frame, options);
  const stop = stopped(input, frame);
  if (stop !== null) return empty(ambient, ambientFrom, [stop]);
  const pulls: RoadLogPull[] = findPulls(frame, ambient).map((pull, i) => ({
    ...pull,
    used: options.usePulls?.includes(i) ?? true,
  }));
  const volumeM3 = options.boostedVolumeM3 ?? VOLUME_PER_DISPLACEMENT * input.engine.displacementM3;
  const path = CarPath.of(input, ambient, volumeM3);
  if (path === null) return empty(ambient, ambientFrom, [warning('stop', 'bad-input')]);
  const { rows: raw, averaged } = workRows(frame, pulls, ambient, options, input.engine.drivelineLoss);
  for (const row of raw) row.predicted = path.predict(row.readings);
  const chargeProbe = findProbe(path, raw, options.chargeProbeS);
  const settled = withoutProbe(path, raw, chargeProbe);
  const lag = findLag(settled, frame.timeS !== null, options.shaftLagS);
  const rows = withoutLag(settled, lag.lagS);
  const instruments: Instruments = new Set([
    ...frame.channels.keys(),
    ...(options.manifoldZeroPa === undefined ? [] : (['zero-gauge'] as const)),
  ]);
  const tolerances = options.tolerances ?? USUAL_TOLERANCES;
  const priors = priorsOf(tolerances, instruments, input.turbine !== undefined);
  const quiet = rows.filter((row) => isQuiet(path, row));
  const blades = bladeVerdict(quiet.map(logRatio), inputDeviation(path, quiet, priors, tolerances), options);
  const surge = surgeTones(frame, pulls);
  const check = meterCheck(input.compressor);
  const metered = meterRows(path, rows, check, priors, (row) =>
    surge.found.some((one) => row.row >= one.fromRow && row.row < one.toRow),
  );
  const shafts = highestShaftSpeeds(frame, input, options.shaftSpeedFactor ?? 1);
  const gauge = options.manifoldZeroPa === undefined ? gaugeZero(frame, ambient.pressurePa) : null;
  const warnings: RoadLogWarning[] = [
    ...carWarnings(blades),
    ...limitWarnings(frame, input, shafts, pulls),
    ...(pulls.length === 0 ? [warning('stop', 'no-pull')] : []),
    ...readingWarnings(frame, metered, ambientFrom, averaged),
    ...(gauge !== null && Math.abs(gauge.offsetPa) > 200 ? [warning('note', 'gauge-zero', { ...gauge })] : []),
    ...surge.found.map(({ frequencyHz, amplitude, engineSpeedRpm, fromRow }) =>
      warning('stop', 'surge', { frequencyHz, amplitude, engineSpeedRpm }, fromRow),
    ),
    ...surgeLimits(frame, surge.seesToHz),
  ];
  const meters = compareMeters(path, metered, priors, vePriors(tolerances).common);
  for (const { meter, against, difference, standardDeviation, differ } of meters) {
    const facts = { difference, standardDeviation, byMap: Number(against === 'map') };
    if (differ) warnings.push({ ...warning('caution', 'meters-differ', facts), meter });
  }
  const imbalance = path.line.turbos > 1 ? shaftImbalance(path, metered, check, priors) : null;
  warnings.push(...imbalanceWarnings(frame, path.line.turbos, imbalance));
  // A shaft speed that no inputs explain would only bend the curve.
  const isBelieved = blades.verdict === 'as-entered' || Math.abs(blades.logRatio ?? 0) <= MOST_EXPLAINED;
  const system = isBelieved ? jointFit(path, metered, priors, tolerances) : null;
  const shown =
    system === null
      ? metered
      : metered.map((row) => rechosen(path, row, priors, Math.exp(fittedLogVe(system, row.readings.engineSpeedRpm))));
  return {
    pulls,
    rows: shown.map((row) => shownRow(path, row)),
    fit: system && shownFit(path, system),
    causes: system === null ? [] : findCauses(system, instruments),
    warnings: sorted(warnings),
    highest: shafts[0] ?? null,
    blades,
    lag,
    chargeProbe,
    gauge,
    meters,
    imbalance,
    surge,
    whatToLogNext: system === null ? [] : whatToLogNext(path, system, priors, instruments),
    ambient,
    ambientFrom,
  };
}

const logRatio = (row: WorkRow) => Math.log(row.readings.shaftSpeedRpm / row.predicted!.shaftSpeedRpm);

function isQuiet(path: CarPath, row: WorkRow): boolean {
  return (
    row.predicted !== null &&
    row.readings.shaftSpeedRpm > 0 &&
    !isLagging(row) &&
    Math.abs(fillingShareOf(path, row, row.predicted)) <= QUIET_FILLING
  );
}

function stopped(input: MatchInput, frame: LogFrame): RoadLogWarning | null {
  // The engine speeds of the line are not asked for here.
  if (checkInput(input) !== null) return warning('stop', 'bad-input');
  if (!frame.channels.has('engineSpeed')) return warning('stop', 'no-engine-speed');
  return frame.channels.has('manifoldPressure') ? null : warning('stop', 'no-manifold-pressure');
}

function empty(ambient: Ambient, ambientFrom: RoadLogResult['ambientFrom'], warnings: RoadLogWarning[]): RoadLogResult {
  return {
    pulls: [],
    rows: [],
    fit: null,
    causes: [],
    warnings,
    highest: null,
    blades: { verdict: 'no-reading', logRatio: null, standardDeviation: null, candidates: [] },
    lag: { status: 'no-transient', lagS: 0, spreadBefore: null, spreadAfter: null },
    chargeProbe: { status: 'unknown', lagS: 0, deviationS: 0 },
    gauge: null,
    meters: [],
    imbalance: null,
    surge: { seesToHz: null, found: [] },
    whatToLogNext: [],
    ambient,
    ambientFrom,
  };
}

function dayOf(
  input: MatchInput,
  frame: LogFrame,
  options: RoadLogOptions,
): Pick<RoadLogResult, 'ambient' | 'ambientFrom'> {
  const given = options.ambient ?? input.ambient;
  const logged = (key: 'ambientPressure' | 'ambientTemperature') => {
    const known = (frame.channels.get(key) ?? new Float64Array()).filter((x) => !Number.isNaN(x));
    return known.length === 0 ? null : median(known);
  };
  const pressurePa = logged('ambientPressure');
  const temperatureK = logged('ambientTemperature');
  const ambient = {
    ...given,
    pressurePa: pressurePa ?? given.pressurePa,
    temperatureK: temperatureK ?? given.temperatureK,
  };
  const isLogged = pressurePa !== null && temperatureK !== null;
  return { ambient, ambientFrom: isLogged ? 'log' : options.ambient !== undefined ? 'options' : 'build' };
}

function carWarnings(blades: RoadLogResult['blades']): RoadLogWarning[] {
  const { logRatio: ratio, verdict } = blades;
  const isWrong = ratio !== null && Math.abs(ratio) > WRONG_CAR && verdict === 'none-fits';
  return isWrong ? [warning('stop', 'wrong-car', { logRatio: ratio })] : [];
}

function readingWarnings(
  frame: LogFrame,
  rows: readonly MeteredRow[],
  ambientFrom: RoadLogResult['ambientFrom'],
  averaged: number,
): RoadLogWarning[] {
  const hasSpeed = frame.channels.has('shaftSpeed');
  const off = rows.filter((row) => row.class === 'off-map');
  const metered = rows.filter((row) => row.band.reading !== 'none').length;
  return [
    ...lostWarnings(frame),
    ...(hasSpeed ? [] : [warning('caution', 'no-shaft-speed')]),
    ...(off.length > 0 ? [warning('note', 'off-map', { rows: off.length }, off[0]!.row)] : []),
    ...(hasSpeed && rows.length > 0 && metered < rows.length / 2
      ? [warning('note', 'map-meters-little', { rows: rows.length, metered })]
      : []),
    ...(ambientFrom === 'build' ? [warning('note', 'no-weather')] : []),
    ...(frame.timeS === null ? [warning('note', 'no-time')] : []),
    ...(averaged > 1 ? [warning('note', 'rows-averaged', { rows: averaged })] : []),
  ];
}

function imbalanceWarnings(
  { channels }: LogFrame,
  turbos: number,
  imbalance: RoadLogResult['imbalance'],
): RoadLogWarning[] {
  if (channels.has('secondShaftSpeed') && turbos === 1) return [warning('note', 'second-shaft-of-one')];
  if (imbalance === null) return [];
  const { found, rows, unseen } = imbalance;
  if (found === null) return [warning('note', 'imbalance-unseen', { rows: unseen })];
  const { value, standardDeviation, rangeRpm, differ } = found;
  const facts = { value, standardDeviation, rows, unseen, fromRpm: rangeRpm[0], toRpm: rangeRpm[1] };
  return [warning(differ ? 'caution' : 'note', 'imbalance', facts)];
}

/** What a search for surge at this rate does not see. */
function surgeLimits(frame: LogFrame, seesToHz: number | null): RoadLogWarning[] {
  if (!frame.channels.has('shaftSpeed') || frame.timeS === null) return [];
  if (seesToHz === null)
    return [warning('note', 'no-surge-search', { rateHz: frame.stepS === null ? 0 : 1 / frame.stepS })];
  return seesToHz < 20 ? [warning('note', 'surge-unseen', { seesToHz })] : [];
}

const SEVERITIES = ['stop', 'caution', 'note'] as const;

function sorted(warnings: readonly RoadLogWarning[]): RoadLogWarning[] {
  return SEVERITIES.flatMap((severity) => warnings.filter((one) => one.severity === severity));
}
