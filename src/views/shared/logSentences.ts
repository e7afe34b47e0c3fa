import { CHANNELS } from '../../build/index.ts';
import { type ResultUnits, showLimit, showResult } from '../../match/index.ts';
import type {
  BladeVerdict,
  CauseGroup,
  CauseKey,
  FittedNuisance,
  LogAdvice,
  LogChannelKey,
  RoadLogResult,
  RoadLogRowClass,
  RoadLogWarning,
} from '../../match/types.ts';
import { counted, formatNumber, NO_BREAK_SPACE } from '../../units/index.ts';

const percent = (share: number | undefined, decimals = 1) =>
  `${formatNumber((share ?? Number.NaN) * 100, decimals)}${NO_BREAK_SPACE}%`;
/** A ratio of readings in words: 0.0198 is "2.0 % above". */
const aside = (log: number) => `${percent(Math.abs(Math.expm1(log)))} ${log < 0 ? 'below' : 'above'}`;
const rpm = (value: number | undefined) => `${formatNumber(value ?? Number.NaN, 0)}${NO_BREAK_SPACE}rpm`;
const many = (rows: number | undefined) => counted(rows ?? 0, 'row');
export const channelTitle = (key: LogChannelKey): string => CHANNELS[key].title;

type Say = (warning: RoadLogWarning, units: ResultUnits) => string;
const shaft = (value: number | undefined, units: ResultUnits) => showResult(value, 'shaft-speed', units);
const pressure = (value: number | undefined, units: ResultUnits) => showResult(value, 'absolute-pressure', units);
const heat = (value: number | undefined, units: ResultUnits) => showResult(value, 'temperature', units);

const SENTENCES: Readonly<Record<RoadLogWarning['code'], Say>> = {
  'no-engine-speed': () => 'The log has no engine speed: nothing can be compared. Choose its column.',
  'no-manifold-pressure': () => 'The log has no manifold pressure: nothing can be compared. Choose its column.',
  'no-shaft-speed': () =>
    'The log has no shaft speed: the map gives no flow, and rows keep their place on the pressure ratio only.',
  'no-pull': () =>
    'No full-throttle pull was found. A pull is 90 % of throttle or more with the engine speed rising for 1.5 s or 800 rpm: log one in a high gear.',
  'bad-input': () => 'The build cannot be computed as it stands. Complete its inputs in the Match view.',
  'no-weather': () =>
    'The log does not say the air of its day: that of the build is used. Enter it in the build, or log barometer and outside temperature.',
  'no-time': () => 'Without a time nothing is said of spool-up, filling of the charge path, sensor lag and surge.',
  'wrong-car': ({ values }) =>
    `The shaft speed is ${aside(values.logRatio ?? 0)} what this build gives, more than its inputs can be off, and no blade count explains it. Is this the log of this car and candidate?`,
  overspeed: ({ values }, units) =>
    `The shaft reached ${shaft(values.shaftSpeedRpm, units)}, over its limit of ${showLimit(values.limitRpm, 'shaft-speed', units)}. Lower the boost before the next pull: a wheel that bursts throws metal.`,
  'overspeed-between-rows': ({ values }, units) =>
    `The shaft reached ${shaft(values.shaftSpeedRpm, units)}; between two rows it may have been ${shaft(values.betweenRowsRpm, units)} higher, over its limit of ${showLimit(values.limitRpm, 'shaft-speed', units)}. Log faster, or stay lower.`,
  pegged: ({ values }) => `A sensor was at its end in ${many(values.rows)}: boost may be higher than logged.`,
  spikes: ({ values }) => `Spikes and drop-outs of a sensor were taken out of ${many(values.rows)}.`,
  'gauge-zero': ({ values }, units) =>
    `With the engine off the manifold pressure reads ${showResult(values.offsetPa ?? 0, 'pressure-offset', units)} from the barometer (${many(values.rows)}). It can be taken off below.`,
  'meters-differ': ({ values, meter }) =>
    `The ${meter === 'fuel' ? 'fuel flow' : meter === 'power' ? 'power' : 'air-mass sensor'} reads ${aside(values.difference ?? 0)} the flow that ${values.byMap === 1 ? 'the map gives' : 'was entered'}: a leak, a scaling or a sensor is off.`,
  imbalance: ({ values }) => {
    const { value = 0, standardDeviation = 0, rows, unseen = 0 } = values;
    const range = `${formatNumber(values.fromRpm ?? 0, 0)} to ${rpm(values.toRpm)}`;
    const band = `±${percent(2 * standardDeviation)}, ${many(rows)}`;
    const below =
      unseen > 0 ? ' In the other rows the map does not tell: shaft speed hardly changes with flow there.' : '';
    return Math.abs(value) > 3 * standardDeviation
      ? `From ${range} the first turbo passes ${percent(Math.abs(Math.expm1(value)))} ${value > 0 ? 'more' : 'less'} air than the second (${band}): look for a leak, a blocked filter or a gate that does not shut on one side, or turbos that are not alike. Flow and volumetric efficiency are read from the first.${below}`
      : `From ${range} both turbos pass the same air to within what two pickups tell (${band}).${below}`;
  },
  'imbalance-unseen': () =>
    'Two shaft speeds are logged, but nowhere in this pull does shaft speed change enough with flow to tell how the turbos share the air. It shows at the top of the engine speeds.',
  'second-shaft-of-one': () =>
    'A second shaft speed is logged, but this candidate has one turbo: it is only held against the limit. Set the number of turbos in the Match view to see how they share the air.',
  'off-map': ({ values }) =>
    `${many(values.rows)} lie off the map: it has no flow for their shaft speed and pressure ratio.`,
  'map-meters-little': ({ values }) =>
    `The map meters flow in ${formatNumber(values.metered ?? 0, 0)} of ${many(values.rows)}: only its right-hand part does, where shaft speed changes with flow.`,
  'outlet-temperature': ({ values }, units) =>
    `After the compressor the air reached ${heat(values.value, units)}, over the limit of ${showLimit(values.limit, 'temperature', units)}.`,
  'turbine-temperature': ({ values }, units) =>
    `Before the turbine the gas reached ${heat(values.value, units)}, over the limit of ${showLimit(values.limit, 'temperature', units)}.`,
  'back-pressure': ({ values }, units) =>
    `p3/p_m reached ${formatNumber(values.value ?? Number.NaN, 2)}, over the limit of ${showLimit(values.limit, 'pressure-ratio', units)}.`,
  'manifold-pressure-limit': ({ values }, units) =>
    `The manifold reached ${pressure(values.value, units)}, over the limit of ${showLimit(values.limit, 'absolute-pressure', units)} (absolute).`,
  lean: ({ values }) =>
    `At ${rpm(values.engineSpeedRpm)} lambda was ${formatNumber(values.lambda ?? Number.NaN, 2)} where ${formatNumber(values.entered ?? Number.NaN, 2)} is entered: a lean mixture under boost destroys engines. Do not pull again before it is found.`,
  'gate-shut-short': ({ values }, units) =>
    `At ${rpm(values.engineSpeedRpm)} the gate was held shut and the manifold was at ${pressure(values.manifoldPressurePa, units)}, short of ${pressure(values.goalPa, units)}.`,
  'gate-open-creep': ({ values }, units) =>
    `At ${rpm(values.engineSpeedRpm)} the gate was at its open end and the manifold was at ${pressure(values.manifoldPressurePa, units)}, over ${pressure(values.goalPa, units)}: boost creeps.`,
  surge: ({ values }) =>
    `At ${rpm(values.engineSpeedRpm)} the shaft speed swings by ${percent(values.amplitude)} at ${formatNumber(values.frequencyHz ?? Number.NaN, 1)}${NO_BREAK_SPACE}Hz, as a compressor in surge does.`,
  'surge-unseen': ({ values }) =>
    `At this rate of logging surge above ${formatNumber(values.seesToHz ?? Number.NaN, 0)}${NO_BREAK_SPACE}Hz cannot be seen.`,
  'no-surge-search': () => 'The log is too slow to look for surge: log at 20 Hz or faster.',
  'rows-averaged': ({ values }) =>
    `The log is dense: ${formatNumber(values.rows ?? 0, 0)} rows at a time are averaged.`,
};

const WORDS = { stop: 'Stop', caution: 'Caution', note: 'Note' } as const;

export interface LogSentence {
  key: string;
  severity: RoadLogWarning['severity'];
  word: string;
  text: string;
}

/** What the log warns of, worst first. */
export function warningSentences(warnings: readonly RoadLogWarning[], units: ResultUnits): LogSentence[] {
  return warnings.map((warning, at) => ({
    key: `${warning.code}-${at}`,
    severity: warning.severity,
    word: WORDS[warning.severity],
    text: SENTENCES[warning.code](warning, units),
  }));
}

/** In one sentence for a customer: how fast the shaft was, and how near to what was predicted. null where no pull says it. */
export function measuredSentence({ pulls, blades }: RoadLogResult, units: ResultUnits): string | null {
  const used = pulls.filter((pull) => pull.used);
  const most = Math.max(...used.map(({ highestShaftSpeedRpm }) => highestShaftSpeedRpm ?? Number.NaN));
  if (!Number.isFinite(most) || blades.logRatio === null) return null;
  const count = used.length === 1 ? 'one pull' : `${used.length} pulls`;
  return `Measured on the road: at most ${shaft(most, units)} in ${count}, ${aside(blades.logRatio)} the predicted shaft speed.`;
}

/** What the blade count comes to; '' where there is nothing to say. */
export function bladeWords({ verdict, logRatio, standardDeviation, candidates }: BladeVerdict): string {
  const [first] = candidates;
  const off = logRatio === null ? '' : `The logged shaft speed is ${aside(logRatio)} the predicted one`;
  switch (verdict) {
    case 'as-entered':
      return `${off}, within what the inputs allow (±${percent(standardDeviation ?? 0)}): the blade count fits.`;
    case 'other-count': {
      const count =
        first?.blades == null ? 'another blade count' : `${formatNumber(first.blades, 0)} blades past the pickup`;
      const times = formatNumber(first?.shaftSpeedFactor ?? Number.NaN, 3);
      return `${off}. ${count.charAt(0).toUpperCase()}${count.slice(1)} would explain it (${percent(first?.probability, 0)}): all shaft speeds times ${times}. It is proposed, not applied.`;
    }
    case 'cannot-tell':
      return `${off}. More than one blade count fits: count the blades that pass the pickup.`;
    case 'none-fits':
      return `${off}, and no blade count explains it: look at the sensor's scale, the map and the car.`;
    case 'no-reading':
      return '';
  }
}

export function lagWords({ status, lagS, spreadBefore, spreadAfter }: RoadLogResult['lag']): string {
  if (status !== 'found' && status !== 'given') return '';
  const spread =
    spreadBefore === null || spreadAfter === null
      ? ''
      : `; scatter in spool-up ${percent(spreadBefore)} before, ${percent(spreadAfter)} after`;
  return `The shaft speed follows the pressure by ${formatNumber(lagS, 2)}${NO_BREAK_SPACE}s, which is taken out${spread}.`;
}

export function probeWords({ status, lagS, deviationS }: RoadLogResult['chargeProbe']): string {
  if (status !== 'found' || lagS < 2 * deviationS) return '';
  return `The charge-temperature probe follows the air by ${formatNumber(lagS, 1)}${NO_BREAK_SPACE}s (±${formatNumber(deviationS, 1)}${NO_BREAK_SPACE}s), which is taken out.`;
}

const CAUSES: Readonly<Record<CauseKey, string>> = {
  volumetricEfficiency: 'volumetric efficiency',
  inletLoss: 'inlet loss',
  chargeLoss: 'loss of the charge path',
  inletTemperature: 'temperature before the compressor',
  coolerEffectiveness: 'cooler effectiveness',
  ambientPressure: 'barometer',
  mapFlow: 'flow of the map',
  mapPressureRatio: 'pressure ratio of the map',
  mapEfficiency: 'efficiency of the map',
  manifoldOffset: 'zero of the manifold sensor',
  manifoldScale: 'scale of the manifold sensor',
  shaftScale: 'scale of the shaft-speed sensor',
  chargeProbe: 'charge-temperature probe',
  inletPressureSensor: 'sensor before the compressor',
  outletPressureSensor: 'sensor after the compressor',
  backPressure: 'back-pressure',
  airMassScale: 'scale of the air-mass sensor',
  fuelScale: 'scale of the fuel flow',
  powerScale: 'scale of the logged power',
};

/** What the fit made of everything else that may be off, in one line each; nothing of it is entered. */
export function nuisanceWords(
  { key, value, standardDeviation, priorDeviation }: FittedNuisance,
  units: ResultUnits,
): string {
  const isKelvin = key === 'inletTemperature' || key === 'chargeProbe';
  const isPascal = /Offset|Sensor$/.test(key);
  const show = (si: number) =>
    isKelvin
      ? showResult(si, 'temperature-offset', units)
      : isPascal
        ? showResult(si, 'pressure-offset', units)
        : percent(si, priorDeviation < 0.001 ? 2 : 1);
  // What rounds to nothing has no sign.
  const isNone = show(Math.abs(value)) === show(0);
  return `${CAUSES[key]} ${isNone ? '' : value < 0 ? '−' : '+'}${show(Math.abs(value))} (±${show(standardDeviation)}; before the log ±${show(priorDeviation)})`;
}

export const causeNames = ({ members }: CauseGroup): string => members.map(({ key }) => CAUSES[key]).join(', ');

/** A group of causes, its members without an order, and what would tell them apart. */
export function causeWords(cause: CauseGroup): string {
  const { group, members, probability, outside, separatedBy } = cause;
  const alike = members.length > 1 ? ' This log cannot tell them apart.' : '';
  const apart = separatedBy === null || members.length < 2 ? '' : ` Logging the ${channelTitle(separatedBy)} would.`;
  const sensor = outside
    ? ' Each alone would have to be further off than was entered as possible: suspect the sensor first.'
    : '';
  return `${group.charAt(0).toUpperCase()}${group.slice(1)} (${percent(probability, 0)}): ${causeNames(cause)}.${alike}${apart}${sensor}`;
}

export function adviceWords({ channels, deviationNow, deviationThen }: LogAdvice): string {
  const names = channels.map((key) =>
    key === 'zero-gauge' ? 'a few rows with the engine off, key on' : channelTitle(key),
  );
  return `${names.join(' and ')}: volumetric efficiency to ±${percent(deviationThen)} instead of ±${percent(deviationNow)}`;
}

export const CLASS_WORDS: Readonly<Record<RoadLogRowClass, string>> = {
  steady: 'steady',
  filling: 'filling',
  lagging: 'lagging',
  pegged: 'pegged',
  spike: 'spike',
  'off-map': 'off the map',
  surging: 'surging',
};
