import { type Build, fieldAt } from '../../../build/index.ts';
import {
  bindingLook,
  fullTitle,
  type Influence,
  knownShaftSpeed,
  type ResultUnits,
  type SpreadAtSpeed,
  type SpreadDone,
} from '../../../match/index.ts';
import { nearestIndex } from '../../../numerics/index.ts';
import type { LineChartModel } from '../../../plot/index.ts';
import type { CandidateStudy, SpreadStudy } from '../../../store/index.ts';
import { formatNumber, fromSi, rpmText } from '../../../units/index.ts';
import { type TunerPressure, tunerPressure } from '../../shared/altitudeStudies.ts';
import { speedAxis } from './ceilingCharts.ts';
import { shaftLimits } from './heldGoalCharts.ts';

/** Shaft speed over engine speed with the room that the tolerances leave, against the limits. */
export function spreadShaft(spread: SpreadDone, units: Pick<ResultUnits, 'several'>): LineChartModel {
  const speeds = spread.atSpeeds;
  return {
    ...plainChart(speeds.map(({ engineSpeedRpm }) => engineSpeedRpm)),
    valueAxis: {
      title: `${fullTitle('shaftSpeedRpm', units)}, 10th to 90th of a hundred`,
      unit: 'rpm',
      decimals: 0,
    },
    bands: [
      {
        id: 'band',
        style: 'a',
        points: speeds.map(({ engineSpeedRpm, bands: { shaftSpeedRpm: band } }) =>
          band === null ? null : { x: engineSpeedRpm, low: band.p10, high: band.p90 },
        ),
      },
    ],
    series: [
      {
        id: 'nominal',
        name: 'as entered',
        style: 'a',
        weight: 'main',
        points: speeds.map(({ engineSpeedRpm, nominal }) =>
          nominal.status === 'ok' ? { x: engineSpeedRpm, value: nominal.shaftSpeedRpm } : null,
        ),
      },
    ],
    limits: limitLines(spread),
  };
}

function limitLines({ limits }: SpreadDone): LineChartModel['limits'] {
  const held = { limits } as CandidateStudy['held'];
  return shaftLimits({ held }, '').map((limit) => ({ ...limit, label: limit.label.trim() }));
}

/** Whether the spread knows a turbine. */
export function isSpreadDriven(spread: SpreadDone): boolean {
  return spread.atSpeeds.some(({ nominal }) => nominal.status === 'ok' && nominal.turbine !== null);
}

/** The chance that a limit is crossed, over engine speed. */
export function crossingChance(spread: SpreadDone): LineChartModel {
  const speeds = spread.atSpeeds;
  const hasTurbine = isSpreadDriven(spread);
  return {
    ...plainChart(speeds.map(({ engineSpeedRpm }) => engineSpeedRpm)),
    valueAxis: {
      title: hasTurbine ? 'Chance: limit crossed or goal not reached' : 'Chance that a limit is crossed',
      unit: '%',
      decimals: 0,
      include: [0, 100],
      bounds: { low: 0, high: 100 },
    },
    series: [
      {
        id: 'chance',
        name: '',
        style: 'a',
        weight: 'main',
        points: speeds.map(({ engineSpeedRpm, crossedShare }) => ({ x: engineSpeedRpm, value: crossedShare * 100 })),
      },
    ],
  };
}

function plainChart(speeds: readonly number[]): LineChartModel {
  return {
    xAxis: speedAxis(speeds),
    valueAxis: { title: '', unit: '', decimals: 0 },
    series: [],
    focusX: null,
    focusSeriesId: null,
  };
}

/** What the bands and the chances come to, in sentences; the bands at an engine speed that is pointed at, or where the shaft turns fastest. */
export function spreadWords(build: Build, study: SpreadStudy, pointedRpm: number | null): string[] {
  const { spread } = study;
  const speeds = spread.atSpeeds.map(({ engineSpeedRpm }) => engineSpeedRpm);
  const at = spread.atSpeeds[nearestIndex(speeds, pointedRpm ?? fastest(spread))];
  return [...(at === undefined ? [] : bandWords(build, study, at)), ...chanceWords(spread)];
}

function bandWords(build: Build, { spread, ambientPressurePa }: SpreadStudy, at: SpreadAtSpeed): string[] {
  const shaft = at.bands.shaftSpeedRpm;
  if (shaft === null) return [];
  const rpm = (value: number) => formatNumber(knownShaftSpeed(value), 0);
  const pressure = tunerPressure(build);
  const ceiling = spread.ceilings.find(({ engineSpeedRpm }) => engineSpeedRpm === at.engineSpeedRpm)?.band ?? null;
  const ceilingWords =
    ceiling === null
      ? ''
      : `; the ceiling lies between ${pressure.textDown(ceiling.p10, ambientPressurePa)} and ${pressure.textDown(ceiling.p90, ambientPressurePa)}`;
  return [
    `At ${rpmText(at.engineSpeedRpm)}, in 80 of 100 samples, the shaft turns between ${rpm(shaft.p10)} and ${rpm(shaft.p90)}\u00a0rpm with the goal held${ceilingWords}.`,
    ...turbineBandWords(at),
  ];
}

function turbineBandWords({ bands }: SpreadAtSpeed): string[] {
  const { backPressureRatio: ratio, wastegateShare: gate } = bands;
  if (ratio === null || gate === null) return [];
  const share = (value: number) => formatNumber(value * 100, 0);
  const past =
    share(gate.p90) === '0'
      ? 'the gate is shut'
      : `between ${share(gate.p10)} and ${share(gate.p90)}\u00a0% of the exhaust goes past the turbine`;
  return [`There p3/p_m lies between ${formatNumber(ratio.p10, 2)} and ${formatNumber(ratio.p90, 2)}, and ${past}.`];
}

function fastest(spread: SpreadDone): number {
  const turning = spread.atSpeeds.filter(({ bands }) => bands.shaftSpeedRpm !== null);
  return (
    turning.toSorted((a, b) => (b.bands.shaftSpeedRpm?.p50 ?? 0) - (a.bands.shaftSpeedRpm?.p50 ?? 0))[0]
      ?.engineSpeedRpm ?? 0
  );
}

function chanceWords(spread: SpreadDone): string[] {
  const worst = spread.atSpeeds.reduce((a, b) => (b.crossedShare > a.crossedShare ? b : a), spread.atSpeeds[0]!);
  const orNot = isSpreadDriven(spread) ? ' or the goal not reached' : '';
  if (worst === undefined || worst.crossedShare === 0) {
    return [`In none of ${formatNumber(spread.samples, 0)} samples is a limit crossed${orNot}.`];
  }
  const by = worst.crossedBy.map(({ limit, share }) => `${bindingLook(limit).name.toLowerCase()} ${percent(share)}`);
  const safe = spread.atSpeeds.filter(({ crossedShare }) => crossedShare === 0).length;
  return [
    `Most likely at ${rpmText(worst.engineSpeedRpm)}: in ${percent(worst.crossedShare)} of ${formatNumber(spread.samples, 0)} samples a limit is crossed${orNot} (${by.join(', ')}; a sample may cross several).`,
    `At ${safe} of ${spread.atSpeeds.length} engine speeds this is so in no sample.`,
  ];
}

function percent(share: number): string {
  const value = share * 100;
  return `${formatNumber(value, value > 0 && value < 10 ? 1 : 0)}\u00a0%`;
}

/** A result of which it is told what moves it. */
export type MovedOutput = 'shaftSpeedRpm' | 'ceilingPa' | TurbineOutput;
export type TurbineOutput = 'backPressureRatio' | 'wastegateShare' | 'turbineInletPressurePa';

/** What of the turbine there is to choose from. */
export const TURBINE_OUTPUTS: readonly { key: TurbineOutput; name: string }[] = [
  { key: 'backPressureRatio', name: 'the back-pressure ratio' },
  { key: 'wastegateShare', name: 'the wastegate flow fraction' },
  { key: 'turbineInletPressurePa', name: 'the pressure before the turbine' },
];

/** A share under it is shown as 0 %. */
const SLIGHT = 0.005;

interface InfluenceBar {
  key: string;
  name: string;
  /** 0..1 of the bar's full width, which the greatest one has. */
  share: number;
  shareText: string;
  /** Its share rounds to nothing. */
  isSlight: boolean;
  /** '+3,100 rpm when it is up by its whole tolerance' */
  effect: string;
}

/** Engine speed at which the influences are read; null: over all of them, while nothing is pointed at. */
export function influencesAt(spread: SpreadDone, pointedRpm: number | null): number | null {
  const speeds = spread.atSpeeds.map(({ engineSpeedRpm }) => engineSpeedRpm);
  return pointedRpm === null ? null : (speeds[nearestIndex(speeds, pointedRpm)] ?? null);
}

/** Which input matters most, largest first, at an engine speed or over all of them. */
export function influenceBars(
  build: Build,
  spread: SpreadDone,
  output: MovedOutput,
  engineSpeedRpm: number | null,
): InfluenceBar[] {
  const pressure = tunerPressure(build);
  const isThere = (at: { engineSpeedRpm: number }) => at.engineSpeedRpm === engineSpeedRpm;
  const found =
    engineSpeedRpm === null
      ? spread.influences[output]
      : output === 'ceilingPa'
        ? spread.ceilings.find(isThere)?.influences
        : spread.atSpeeds.find(isThere)?.influences[output];
  const sorted = (found ?? []).toSorted(bigger);
  const most = sorted[0]?.share ?? 0;
  return sorted.map(({ key, share, effect }) => ({
    key,
    name: fieldAt(`spread.tolerances.${key}`).label,
    share: most > 0 ? Math.max(0, share / most) : 0,
    shareText: `${formatNumber(share * 100, 0)}\u00a0%`,
    isSlight: share < SLIGHT,
    effect: effectText(output, effect, pressure),
  }));
}

function effectText(output: MovedOutput, effect: number, pressure: TunerPressure): string {
  if (output === 'shaftSpeedRpm') return `${signed(Math.round(effect / 10) * 10, 0)}\u00a0rpm`;
  if (output === 'backPressureRatio') return signed(effect, 3);
  if (output === 'wastegateShare') return `${signed(effect * 100, 1)}\u00a0points`;
  const value = fromSi(effect, 'pressure-difference', pressure.unit);
  return `${signed(value, pressure.decimals + 1)}\u00a0${pressure.label}`;
}

/** With a plus sign where something is added, none where it rounds to nothing. */
function signed(value: number, decimals: number): string {
  const text = formatNumber(value, decimals);
  return value > 0 && /[1-9]/.test(text) ? `+${text}` : text;
}

function bigger(a: Influence, b: Influence): number {
  return b.share - a.share;
}
