import type { Build } from '../../../build/index.ts';
import { fieldNames } from '../../../build/index.ts';
import type { LineChartModel } from '../../../plot/index.ts';
import type { CandidateStudy, Influence, SpreadDone, SpreadStudy } from '../../../store/index.ts';
import { formatNumber, fromSi } from '../../../units/index.ts';
import { bindingWords } from '../../shared/bindingWords.ts';
import { rpmText } from '../../shared/placeNames.ts';
import { tunerPressure } from '../../shared/tunerPressure.ts';
import { speedAxis } from './ceilingsChart.ts';
import { nearestIndex } from './pointed.ts';
import { shaftLimits } from './shaftOverAltitude.ts';

/** Shaft speed over engine speed with the room that the tolerances leave, against the limits. */
export function spreadShaft(spread: SpreadDone): LineChartModel {
  const speeds = spread.atSpeeds;
  return {
    ...plainChart(speeds.map(({ engineSpeedRpm }) => engineSpeedRpm)),
    valueAxis: { title: 'Shaft speed, 10th to 90th of a hundred', unit: 'rpm', decimals: 0, include: [] },
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

/** The chance that a limit is crossed, over engine speed. */
export function crossingChance(spread: SpreadDone): LineChartModel {
  const speeds = spread.atSpeeds;
  return {
    ...plainChart(speeds.map(({ engineSpeedRpm }) => engineSpeedRpm)),
    valueAxis: {
      title: 'Chance that a limit is crossed',
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
    valueAxis: { title: '', unit: '', decimals: 0, include: [] },
    bands: [],
    series: [],
    limits: [],
    names: 'along',
    focusX: null,
    focusSeriesId: null,
  };
}

/** What the bands and the chances come to, in sentences; the bands at an engine speed that is pointed at, or where the shaft turns fastest. */
export function spreadWords(build: Build, study: SpreadStudy, pointedRpm: number | null): string[] {
  return [...bandWords(build, study, pointedRpm), ...chanceWords(study.spread)];
}

function bandWords(build: Build, { spread, ambientPressurePa }: SpreadStudy, pointedRpm: number | null): string[] {
  const speeds = spread.atSpeeds.map(({ engineSpeedRpm }) => engineSpeedRpm);
  const column = nearestIndex(speeds, pointedRpm ?? fastest(spread));
  const at = spread.atSpeeds[column];
  const shaft = at?.bands.shaftSpeedRpm;
  if (at === undefined || shaft === null || shaft === undefined) return [];
  const rpm = (value: number) => formatNumber(Math.round(value / 10) * 10, 0);
  const pressure = tunerPressure(build);
  const ceiling = spread.ceilings.find(({ engineSpeedRpm }) => engineSpeedRpm === at.engineSpeedRpm)?.band ?? null;
  const ceilingWords =
    ceiling === null
      ? ''
      : `; the ceiling lies between ${pressure.textDown(ceiling.p10, ambientPressurePa)} and ${pressure.textDown(ceiling.p90, ambientPressurePa)}`;
  return [
    `At ${rpmText(at.engineSpeedRpm)}, in 80 of 100 samples, the shaft turns between ${rpm(shaft.p10)} and ${rpm(shaft.p90)}\u00a0rpm with the goal held${ceilingWords}.`,
  ];
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
  if (worst === undefined || worst.crossedShare === 0) {
    return [`In none of ${formatNumber(spread.samples, 0)} samples is a limit crossed.`];
  }
  const by = worst.crossedBy.map(({ limit, share }) => `${bindingWords(limit).name.toLowerCase()} ${percent(share)}`);
  const safe = spread.atSpeeds.filter(({ crossedShare }) => crossedShare === 0).length;
  return [
    `Most likely at ${rpmText(worst.engineSpeedRpm)}: in ${percent(worst.crossedShare)} of ${formatNumber(spread.samples, 0)} samples a limit is crossed (${by.join(', ')}; a sample may cross several).`,
    `At ${safe} of ${spread.atSpeeds.length} engine speeds no sample crosses one.`,
  ];
}

function percent(share: number): string {
  const value = share * 100;
  return `${formatNumber(value, value > 0 && value < 10 ? 1 : 0)}\u00a0%`;
}

export interface InfluenceBar {
  key: string;
  name: string;
  /** 0..1 of the bar's full width. */
  share: number;
  shareText: string;
  /** '+3,100 rpm when it is up by its whole tolerance' */
  effect: string;
}

/** Which input matters most, largest first. */
export function influenceBars(build: Build, spread: SpreadDone, output: 'shaftSpeedRpm' | 'ceilingPa'): InfluenceBar[] {
  const pressure = tunerPressure(build);
  const effectText = (effect: number) => {
    if (output === 'shaftSpeedRpm') return `${signed(Math.round(effect / 10) * 10, 0)}\u00a0rpm`;
    const value = fromSi(effect, 'pressure-difference', pressure.unit);
    return `${signed(value, pressure.decimals + 1)}\u00a0${pressure.label}`;
  };
  return spread.influences[output].toSorted(bigger).map(({ key, share, effect }) => ({
    key,
    name: toleranceName(key),
    share: Math.max(0, Math.min(1, share)),
    shareText: `${formatNumber(share * 100, 0)}\u00a0%`,
    effect: effectText(effect),
  }));
}

/** With a plus sign where something is added, none where it rounds to nothing. */
function signed(value: number, decimals: number): string {
  const text = formatNumber(value, decimals);
  return value > 0 && /[1-9]/.test(text) ? `+${text}` : text;
}

function bigger(a: Influence, b: Influence): number {
  return b.share - a.share;
}

/** 'Volumetric efficiency', from what the field is called in a sentence. */
export function toleranceName(key: Influence['key']): string {
  const name = fieldNames[`spread.tolerances.${key}`].replace(/^tolerance of (the )?/, '');
  return name.charAt(0).toUpperCase() + name.slice(1);
}
