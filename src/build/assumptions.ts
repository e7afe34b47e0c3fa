import type { CompressorSurface } from '../compressor/types.ts';
import type { Finding, MatchInput, OperatingPoint, OperatingPointSolved } from '../match/types.ts';
import { readCard } from './candidateSurface.ts';
import { candidateTurbine } from './candidateTurbine.ts';
import type { Build, Candidate, MapDraft } from './document.ts';
import { buildReader } from './fieldReader.ts';

/**
 * Everything that the numbers of one candidate rest on and that nobody measured, by code, with its values in SI and its names: the views
 * word it, screen and paper alike.
 */
export interface Assumption {
  /** 'estimate': a map that is another wheel's. 'extension': a use of the map or a curve beyond what was entered. */
  kind: 'assumption' | 'estimate' | 'extension';
  code: AssumptionCode;
  values: Readonly<Record<string, number>>;
  names: Readonly<Record<string, string>>;
}

export type AssumptionCode =
  // Of the method, always
  | 'steady-full-load'
  | 'no-turbine'
  | 'humidity-similarity'
  | 'engine-figures-entered' // volumetric efficiency, lambda and bsfc are the user's
  // Of the air
  | 'standard-pressure' // altitudeM
  | 'weather-report-pressure' // altitudeM
  // Of the path
  | 'inlet-heating' // heatingK
  | 'cooler-constant' // effectiveness
  | 'cooler-recovery' // recoveryK
  | 'no-cooler'
  | 'driveline-loss' // share
  | 'fuel-preset' // names.fuel
  | 'fuel-supply-not-checked'
  // Of the map
  | 'map-estimated' // sizeRatio, trimDifference?, bands as in the finding of that code; names.donor
  | 'calipers' // uncertaintyM
  | 'limit-missing'
  | 'limit-from-map' // limitRpm
  | 'map-source-missing' // names.map; names.kind 'turbine sheet' where it is one
  | 'invented-data' // the same
  | 'efficiency-assumed' // efficiency, points
  | 'map-extended' // points, of, fromRpm, toRpm
  | 'equal-turbos' // count; names.branch, names.shared: the paths that are so
  | 'curve-held' // names.curve, fromRpm, toRpm, value
  // Of the turbine
  | 'turbine-estimated' // band
  | 'turbine-extended' // points, of, fromRpm, toRpm
  | 'turbine-efficiency-number' // efficiency
  | 'turbine-efficiency-parabola' // best, optimum
  | 'turbine-temperature-estimated' // lowestK, highestK, where points tell
  | 'twin-scroll-steady'
  | 'breathing-corrected'; // backPressureRatio

interface AssumedResults {
  input: MatchInput;
  points: readonly OperatingPoint[];
  findings: readonly Finding[];
}

type Values = Assumption['values'];

const item = (
  kind: Assumption['kind'],
  code: AssumptionCode,
  values: Values = {},
  names: Assumption['names'] = {},
): Assumption => ({ kind, code, values, names });

const assumed = (code: AssumptionCode, values?: Values, names?: Assumption['names']) =>
  item('assumption', code, values, names);

/**
 * Every assumption, estimate and extension that the results of a candidate rest on: estimates first, then extensions, then assumptions.
 *
 * @param results as the candidate's input gave them; null (nothing could be solved) leaves out what only results can tell
 */
export function assumptions(build: Build, index: number, results: AssumedResults | null): Assumption[] {
  const candidate = build.candidates[index];
  if (candidate === undefined) return [];
  const all = [
    ...(results === null ? [] : [...ofSurface(candidate, results.input.compressor), ...ofResults(results)]),
    ...ofMap(build, index, candidate, results),
    ...ofTurbine(build, index, results),
    ...ofPath(build, results),
    ...ofAir(build),
    ...ofMethod(),
  ];
  const rank = { estimate: 0, extension: 1, assumption: 2 };
  return all.sort((a, b) => rank[a.kind] - rank[b.kind]);
}

function ofMethod(): Assumption[] {
  return [assumed('steady-full-load'), assumed('engine-figures-entered'), assumed('humidity-similarity')];
}

function ofTurbine(build: Build, index: number, results: AssumedResults | null): Assumption[] {
  const candidate = build.candidates[index];
  const input = candidateTurbine(build, index)?.input ?? null;
  if (candidate === undefined || input === null) return [assumed('no-turbine')];
  const { capacity, efficiency, inletTemperatureK, measuredBackPressureRatio } = input;
  const isTwin = candidate.housing.scroll === 'twin' || input.capacityFactor !== undefined;
  const sheet = candidate.turbine.source === 'sheet' ? candidate.turbineSheet : null;
  return [
    ...(capacity.from === 'estimate' ? [item('estimate', 'turbine-estimated', { band: capacity.band })] : []),
    ...(sheet === null ? [] : provenance(sheet, { kind: 'turbine sheet' })),
    ...(efficiency.kind === 'number' ? [assumed('turbine-efficiency-number', { efficiency: efficiency.value })] : []),
    ...(efficiency.kind === 'speed-ratio'
      ? [assumed('turbine-efficiency-parabola', { best: efficiency.best, optimum: efficiency.optimum })]
      : []),
    ...(inletTemperatureK === undefined ? [assumed('turbine-temperature-estimated', temperatures(results))] : []),
    ...(isTwin ? [assumed('twin-scroll-steady')] : []),
    assumed('breathing-corrected', { backPressureRatio: measuredBackPressureRatio ?? 1 }),
  ];
}

function temperatures(results: AssumedResults | null): Values {
  const found = (results?.points ?? []).flatMap((p) =>
    p.status === 'ok' && p.turbine?.temperatureEstimated === true ? [p.turbine.inletTemperatureK] : [],
  );
  return found.length === 0 ? {} : { lowestK: Math.min(...found), highestK: Math.max(...found) };
}

function ofAir(build: Build): Assumption[] {
  const altitudeM = buildReader(build).number('air.altitude');
  const values = altitudeM === null ? {} : { altitudeM };
  switch (build.air.barometer.kind) {
    case 'standard':
      return [assumed('standard-pressure', values)];
    case 'weather-report':
      return [assumed('weather-report-pressure', values)];
    case 'read-on-site':
      return [];
  }
}

function ofPath(build: Build, results: AssumedResults | null): Assumption[] {
  if (results === null) return [];
  const { engine, inletPath, chargePath, ambient } = results.input;
  const { cooler } = chargePath;
  return [
    ...(inletPath.heatingK === 0 ? [] : [assumed('inlet-heating', { heatingK: inletPath.heatingK })]),
    ...(cooler.kind === 'none' ? [assumed('no-cooler')] : []),
    ...(cooler.kind === 'cooler' && cooler.effectivenessAtFlow === undefined
      ? [assumed('cooler-constant', { effectiveness: cooler.effectiveness })]
      : []),
    ...(cooler.kind === 'cooler' && build.chargePath.cooler.kind === 'air'
      ? [assumed('cooler-recovery', { recoveryK: cooler.coolantTemperatureK - ambient.temperatureK })]
      : []),
    ...ofSeveral(build, results),
    assumed('driveline-loss', { share: engine.drivelineLoss }),
    assumed('fuel-preset', {}, { fuel: engine.fuel }),
    ...(build.fuelSupply.checked ? [] : [assumed('fuel-supply-not-checked')]),
  ];
}

/** That the turbos are alike, and whose the losses are. */
function ofSeveral(build: Build, { input }: AssumedResults): Assumption[] {
  const count = input.turboCount ?? 1;
  if (count === 1) return [];
  const paths = { inlet: build.inletPath.of, charge: build.chargePath.of, exhaust: build.exhaust.of };
  const marked = (of: 'branch' | 'shared') =>
    Object.keys(paths).filter(
      (path) => paths[path as keyof typeof paths] === of && (path !== 'exhaust' || input.turbine),
    );
  return [
    assumed('equal-turbos', { count }, { branch: marked('branch').join(', '), shared: marked('shared').join(', ') }),
  ];
}

function ofSurface(candidate: Candidate, { estimate }: CompressorSurface): Assumption[] {
  if (estimate === undefined) return [];
  const { band, sizeRatio, trimDifference } = estimate;
  const values = {
    sizeRatio,
    ...(trimDifference === null ? {} : { trimDifference }),
    surgeFlowBand: band.surgeFlow,
    chokeFlowBand: band.chokeFlow,
    pressureRatioBand: band.pressureRatio,
    efficiencyBand: band.efficiency,
    correctedSpeedBand: band.correctedSpeed,
  };
  return [item('estimate', 'map-estimated', values, { donor: candidate.donor?.name ?? '' })];
}

function ofMap(build: Build, index: number, candidate: Candidate, results: AssumedResults | null): Assumption[] {
  const map = candidate.map ?? candidate.donor;
  const card = readCard(build, index);
  const isMeasured = card?.compressor.inducerM !== undefined || card?.compressor.exducerM !== undefined;
  return [
    ...(isMeasured ? [assumed('calipers', { uncertaintyM: card?.compressor.caliperM ?? 0 })] : []),
    ...limit(candidate, results),
    ...(map === null ? [] : provenance(map)),
  ];
}

function limit(candidate: Candidate, results: AssumedResults | null): Assumption[] {
  if (results === null || candidate.shaftSpeedLimit.text.trim() !== '') return [];
  const limitRpm = results.input.limits.shaftSpeedRpm ?? results.input.compressor.limits.shaftSpeedRpm;
  return [limitRpm === undefined ? assumed('limit-missing') : assumed('limit-from-map', { limitRpm })];
}

function provenance(map: MapDraft, kind: Assumption['names'] = {}): Assumption[] {
  const names = { map: map.name, ...kind };
  return [
    ...(map.invented === true ? [assumed('invented-data', {}, names)] : []),
    ...(map.source.trim() === '' ? [assumed('map-source-missing', {}, names)] : []),
  ];
}

const CURVES: Readonly<Record<string, string>> = {
  'curve-held-volumetric-efficiency': 'volumetricEfficiency',
  'curve-held-lambda': 'lambda',
  'curve-held-bsfc': 'bsfc',
  'curve-held-goal': 'goal',
  'curve-held-turbine-temperature': 'turbineTemperature',
};

function ofResults({ points, findings }: AssumedResults): Assumption[] {
  const solved = points.filter((p) => p.status === 'ok');
  const extended = solved.filter((p) => p.extended);
  const turbineExtended = solved.filter((p) => p.turbine?.extended === true);
  const guessed = solved.filter((p) => p.efficiencyAssumed);
  return [
    ...beyond('map-extended', extended, points.length),
    ...beyond('turbine-extended', turbineExtended, points.length),
    ...(guessed[0] === undefined
      ? []
      : [assumed('efficiency-assumed', { efficiency: guessed[0].efficiency, points: guessed.length })]),
    ...findings.flatMap(({ code, rangeRpm, values }) => {
      const curve = CURVES[code];
      const held = { fromRpm: rangeRpm?.[0] ?? 0, toRpm: rangeRpm?.[1] ?? 0, value: values.value ?? 0 };
      return curve === undefined ? [] : [item('extension', 'curve-held', held, { curve })];
    }),
  ];
}

function beyond(code: AssumptionCode, points: readonly OperatingPointSolved[], of: number): Assumption[] {
  if (points.length === 0) return [];
  const speeds = points.map((p) => p.engineSpeedRpm);
  const range = { fromRpm: Math.min(...speeds), toRpm: Math.max(...speeds) };
  return [item('extension', code, { points: points.length, of, ...range })];
}
