import { type Build, calibrationOptions, type StudyPlace } from '../../build/index.ts';
import {
  type AltitudeCrossing,
  type BindingLimit,
  bindingLook,
  type Place,
  type ResultUnits,
  showResult,
  speedsUnderThreshold,
} from '../../match/index.ts';
import type { CandidateStudy } from '../../store/index.ts';
import { findUnit, formatNumber, formatQuantity, fromSi, NO_NUMBER, rpmText, unitOf } from '../../units/index.ts';

/** The unit in which altitudes are shown: that of the grid's lowest one. */
export function altitudeUnit(build: Build): 'm' | 'ft' {
  return build.altitudes.from.unit === 'ft' ? 'ft' : 'm';
}

/** '1,500 m' */
export function altitudeText(altitudeM: number | null, unit: 'm' | 'ft'): string {
  return formatQuantity(altitudeM ?? Number.NaN, 'altitude', unit);
}

/** A saved place by its name, an altitude of the grid by its number. */
export function placeName(place: Place | StudyPlace, unit: 'm' | 'ft'): string {
  return place.name.trim() === '' ? altitudeText(place.altitudeM, unit) : place.name.trim();
}

/** The air of a place: '1,500 m, 18 °C, 845 hPa'. */
export function placeAir(place: Place, unit: 'm' | 'ft', units: ResultUnits): string {
  const { temperatureK, pressurePa } = place.ambient;
  return `${altitudeText(place.altitudeM, unit)}, ${showResult(temperatureK, 'temperature', units)}, ${showResult(pressurePa, 'barometer', units)}`;
}

/** An altitude in its unit, for an axis. */
export function altitudeValue(altitudeM: number, unit: 'm' | 'ft'): number {
  return fromSi(altitudeM, 'altitude', unit);
}

export function altitudeFromValue(value: number, unit: 'm' | 'ft'): number {
  return value * unitOf('altitude', unit).toSi;
}

const GOALS = {
  'gauge-boost': 'gauge boost',
  'manifold-pressure': 'absolute manifold pressure',
  'brake-power': 'power at the crankshaft',
  'wheel-power': 'power at the wheels',
} as const;

/** What is held, in words: 'gauge boost'. */
export const goalWords = ({ goal }: Build): string => GOALS[goal.kind];

/** Of the pressure units that a boost controller or a gauge works in. */
const DECIMALS: Readonly<Record<string, number>> = { bar: 2, kPa: 0, mbar: 0, psi: 1 };

/** The unit and kind of pressure that the tuner works in: the whole view speaks it. */
export interface TunerPressure {
  unit: string;
  /** 'bar' */
  label: string;
  kind: 'gauge' | 'absolute';
  /** 'Boost' or 'Manifold pressure, absolute'. */
  title: string;
  decimals: number;
  /** Pressure above the zero of the kind, in the unit. */
  value(absolutePa: number, ambientPa: number): number;
  /** The same with its unit: '1.42 bar'. */
  text(absolutePa: number | null, ambientPa: number): string;
  /** What may be asked for at most: rounded down, never up. */
  textDown(absolutePa: number, ambientPa: number): string;
  /** What is held at least: rounded up, never down. */
  textUp(absolutePa: number, ambientPa: number): string;
}

export function tunerPressure(build: Build): TunerPressure {
  const { pressureKind: kind, step } = build.calibration;
  const unit = findUnit('pressure-difference', step.unit) === null ? 'bar' : step.unit;
  const { label } = unitOf('pressure-difference', unit);
  const decimals = DECIMALS[unit] ?? 2;
  const value = (absolutePa: number, ambientPa: number) =>
    fromSi(absolutePa - (kind === 'gauge' ? ambientPa : 0), 'pressure-difference', unit);
  const rounded = (by: (steps: number) => number, absolutePa: number, ambientPa: number) =>
    written(by(value(absolutePa, ambientPa) * 10 ** decimals) / 10 ** decimals);
  const written = (shown: number) =>
    `${formatNumber(shown, decimals)}\u00a0${label}${kind === 'gauge' ? '' : '\u00a0abs'}`;
  return {
    unit,
    label,
    kind,
    title: kind === 'gauge' ? 'Boost, gauge' : 'Manifold pressure, absolute',
    decimals,
    value,
    text: (absolutePa, ambientPa) => (absolutePa === null ? NO_NUMBER : written(value(absolutePa, ambientPa))),
    textDown: (absolutePa, ambientPa) => rounded((steps) => Math.floor(steps + 1e-9), absolutePa, ambientPa),
    textUp: (absolutePa, ambientPa) => rounded((steps) => Math.ceil(steps - 1e-9), absolutePa, ambientPa),
  };
}

/** Decimals of the table: as many as the step has. */
export function stepDecimals(build: Build): number {
  const options = calibrationOptions(build);
  if (options === null) return 2;
  const step = fromSi(options.stepPa, 'pressure-difference', tunerPressure(build).unit);
  for (let decimals = 0; decimals < 6; decimals += 1) {
    if (Math.abs(step - Number(step.toFixed(decimals))) < step * 1e-6) return decimals;
  }
  return 6;
}

/**
 * The boost that the open gate leaves, `[place of the field][engine speed]`; null where there is nothing to say: no size of a gate is known,
 * or it passes what must go past the turbine wherever the goal and the limits ask for it.
 */
export function gateOpenShown({ gateOpenPa, held, ceilings, field }: CandidateStudy): CandidateStudy['gateOpenPa'] {
  const creeps = held.cells.some((row) =>
    row.some(({ point }) => point.status === 'ok' && point.turbine?.heldBy === 'gate'),
  );
  const tooHigh = [...ceilings.cells, ...field.cells].some((row) => row.some(({ binding }) => binding === 'gate'));
  return creeps || tooHigh ? gateOpenPa : null;
}

/** 'With the gate wide open ...': the most that it leaves at the lowest and the highest altitude; null where it is not shown. */
export function gateOpenWords(build: Build, study: CandidateStudy): string | null {
  const rows = gateOpenShown(study);
  if (rows === null) return null;
  const { places, engineSpeedsRpm } = study.field;
  const pressure = tunerPressure(build);
  const said = [...new Set([0, places.length - 1])].flatMap((p) => {
    const row = rows[p]?.map((pa) => (typeof pa === 'number' ? pa : Number.NEGATIVE_INFINITY)) ?? [];
    const most = Math.max(...row);
    const place = places[p];
    if (place === undefined || !Number.isFinite(most)) return [];
    const rpm = rpmText(engineSpeedsRpm[row.indexOf(most)] ?? Number.NaN);
    const where = `${rpm}, ${altitudeText(place.altitudeM, altitudeUnit(build))}`;
    return [`${pressure.textUp(most, place.ambient.pressurePa)} (${where})`];
  });
  if (said.length === 0) return null;
  return `Lowest boost, gate wide open: up to ${said.join(' and ')}; a lower target is not held there.`;
}

interface HeldVerdict {
  tone: 'good' | 'caution' | 'stop';
  /** How far up the goal can be held, in one sentence. */
  headline: string;
  /** What comes after it, for paper, which has no room for the details. */
  next?: string | undefined;
  /** One sentence a limit: where it is crossed. */
  details: readonly string[];
}

/**
 * 'Hold this goal' in plain words for one candidate. Engine speeds under the boost threshold are passed over: it is where the boost begins, at
 * every altitude, and no limit that stops the car.
 */
export function heldVerdict(build: Build, { held }: CandidateStudy): HeldVerdict {
  const unit = altitudeUnit(build);
  const altitudes = held.places.flatMap(({ altitudeM }) => altitudeM ?? []);
  const low = altitudeText(Math.min(...altitudes), unit);
  const high = altitudeText(Math.max(...altitudes), unit);
  const under = speedsUnderThreshold(held.crossings);
  const crossings = held.crossings.filter(({ engineSpeedRpm }) => !under.has(engineSpeedRpm));
  const driven = crossings.filter(({ isGuess }) => !isGuess);
  const guessed = crossings.filter(({ isGuess }) => isGuess).map(({ engineSpeedRpm }) => rpmText(engineSpeedRpm));
  const already = driven.filter(({ status }) => status === 'from-lowest');
  const rising = driven.filter(({ status }) => status === 'crossed').toSorted(byAltitude);
  const names = [...new Set(already.map(({ limit }) => limitName(limit)))];
  // Of one limit, the headline says where it is over; of several, which of them where stands below.
  const over = names.length > 1 ? sentences(already, () => `Already at ${low}`) : [];
  const details = [...over, ...sentences(rising, from(unit))];
  if (guessed.length > 0) {
    details.push(
      `Not judged: at ${guessed.join(', ')} the shaft turns slower than the lowest speed line, and the surge or choke limit that would be crossed is a guess there.`,
    );
  }
  if (held.crossings.length === 0) {
    return { tone: 'caution', headline: 'The altitudes cannot be read, so no altitude is found.', details: [] };
  }
  if (crossings.length === 0) return neverDriven(held.crossings, unit, details);
  if (driven.length === 0) {
    return { tone: 'caution', headline: 'At every engine speed the map is a guess, so no altitude is found.', details };
  }
  const first = rising[0];
  const crossedAt = (which: string, { altitudeM, limit, engineSpeedRpm }: AltitudeCrossing) =>
    `${which} limit is crossed at ${altitudeText(floorTo(altitudeM ?? 0, unit), unit)}: ${limitName(limit)}, at ${rpmText(engineSpeedRpm)}.`;
  if (already.length > 0) {
    const speeds = already.map(({ engineSpeedRpm }) => engineSpeedRpm);
    const where = `${speeds.length === 1 ? 'at ' : ''}${rangeText(speeds)}`;
    const rest =
      first === undefined && already.length < driven.length ? ` The other engine speeds hold up to ${high}.` : '';
    const headline = `Already over at ${low}: ${names.join(', ')}, ${where}.${rest}`;
    return { tone: 'stop', headline, next: first && crossedAt('The next', first), details };
  }
  if (first !== undefined) {
    const headline = `Going up, ${crossedAt('the first', first)}`;
    return { tone: 'caution', headline, details };
  }
  const speeds = under.size === 0 ? 'at every engine speed' : 'at every engine speed over the boost threshold';
  return { tone: 'good', headline: `Every limit holds from ${low} to ${high}, ${speeds}.`, details };
}

/** Every engine speed is stopped by an exhaust that is too weak: from the lowest altitude, or from some altitude up. */
function neverDriven(
  crossings: readonly AltitudeCrossing[],
  unit: 'm' | 'ft',
  details: readonly string[],
): HeldVerdict {
  const last = crossings
    .filter(({ status }) => status === 'crossed')
    .toSorted(byAltitude)
    .at(-1);
  if (last === undefined) {
    return { tone: 'stop', headline: 'The exhaust does not drive this goal at any engine speed.', details };
  }
  const altitude = altitudeText(floorTo(last.altitudeM ?? 0, unit), unit);
  return { tone: 'caution', headline: `Above ${altitude} the exhaust drives this goal at no engine speed.`, details };
}

function byAltitude(a: AltitudeCrossing, b: AltitudeCrossing): number {
  return (a.altitudeM ?? 0) - (b.altitudeM ?? 0);
}

/** An altitude that still holds: rounded down to tens. */
function floorTo(altitudeM: number, unit: 'm' | 'ft'): number {
  const step = unit === 'ft' ? 50 * 0.3048 : 10;
  return Math.floor(altitudeM / step) * step;
}

function from(unit: 'm' | 'ft') {
  return (group: readonly AltitudeCrossing[]) => {
    const [lowest] = group.toSorted(byAltitude);
    return lowest === undefined
      ? ''
      : `From ${altitudeText(floorTo(lowest.altitudeM ?? 0, unit), unit)} at ${rpmText(lowest.engineSpeedRpm)}`;
  };
}

/** One sentence for each limit among the crossings, with the engine speeds that it concerns. */
function sentences(
  crossings: readonly AltitudeCrossing[],
  begin: (group: readonly AltitudeCrossing[]) => string,
): string[] {
  const limits = [...new Set(crossings.map(({ limit }) => limit))];
  return limits.map((limit) => {
    const group = crossings.filter((crossing) => crossing.limit === limit);
    const speeds = group.map(({ engineSpeedRpm }) => engineSpeedRpm);
    const begun = begin(group);
    // The beginning names a lone engine speed itself.
    const range = group.length === 1 && begun.includes(rpmText(speeds[0] ?? 0)) ? '' : ` (${rangeText(speeds)})`;
    return `${begun}: ${limitName(limit)}${range}.`;
  });
}

function limitName(limit: BindingLimit | null): string {
  return bindingLook(limit ?? 'not-converged').name.toLowerCase();
}

function rangeText(speeds: readonly number[]): string {
  const first = Math.min(...speeds);
  const last = Math.max(...speeds);
  return first === last ? rpmText(first) : `between ${formatNumber(first, 0)} and ${rpmText(last)}`;
}
