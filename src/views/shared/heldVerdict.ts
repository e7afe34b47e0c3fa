import type { Build } from '../../build/index.ts';
import { type AltitudeCrossing, type BindingLimit, speedsUnderThreshold } from '../../match/index.ts';
import type { CandidateStudy } from '../../store/index.ts';
import { formatNumber } from '../../units/index.ts';
import { bindingWords } from './bindingWords.ts';
import { altitudeText, altitudeUnit, rpmText } from './placeNames.ts';

export interface HeldVerdict {
  tone: 'good' | 'caution' | 'stop';
  /** How far up the goal can be held, in one sentence. */
  headline: string;
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
  const driven = held.crossings.filter(({ engineSpeedRpm }) => !under.has(engineSpeedRpm));
  const already = driven.filter(({ status }) => status === 'from-lowest');
  const rising = driven.filter(({ status }) => status === 'crossed').toSorted(byAltitude);
  const details = [...sentences(already, () => `Already at ${low}`), ...sentences(rising, from(unit))];
  if (held.crossings.length === 0) {
    return { tone: 'caution', headline: 'The altitudes cannot be read, so no altitude is found.', details: [] };
  }
  if (driven.length === 0) return neverDriven(held.crossings, unit, details);
  const first = rising[0];
  if (first !== undefined) {
    const limit = bindingWords(first.limit ?? 'not-converged').name.toLowerCase();
    const headline = `Going up, the first limit is crossed at ${altitudeText(floorTo(first.altitudeM ?? 0, unit), unit)}: ${limit}, at ${rpmText(first.engineSpeedRpm)}.`;
    return { tone: already.length > 0 ? 'stop' : 'caution', headline, details };
  }
  if (already.length > 0) {
    return {
      tone: 'stop',
      headline: `Some engine speeds are over a limit already at ${low}; the others hold up to ${high}.`,
      details,
    };
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
    const range = rangeText(speeds);
    return `${begun}: ${limitName(limit)}${begun.endsWith(range) ? '' : ` (${range})`}.`;
  });
}

function limitName(limit: BindingLimit | null): string {
  return bindingWords(limit ?? 'not-converged').name.toLowerCase();
}

function rangeText(speeds: readonly number[]): string {
  const first = Math.min(...speeds);
  const last = Math.max(...speeds);
  return first === last ? rpmText(first) : `between ${formatNumber(first, 0)} and ${rpmText(last)}`;
}
