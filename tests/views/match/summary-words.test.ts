import { describe, expect, it } from 'vitest';
import type {
  ComparedValue,
  Comparison,
  ComparisonKey,
  ComparisonRow,
  SameBoost,
  Verdict,
} from '../../../src/match/index.ts';
import { resultUnits } from '../../../src/match/index.ts';
import { differenceRows, sameBoostWords, summaryWords } from '../../../src/views/shared/comparison.ts';

const units = { results: resultUnits({}), altitude: 'm' };
const plain = (text: string) => text.replaceAll('\u00a0', ' ');
const value = (of: number | null, bound: ComparedValue['bound'] = null): ComparedValue => ({
  value: of,
  engineSpeedRpm: null,
  bound,
});
const row = (key: ComparisonKey, a: ComparedValue, b: ComparedValue, verdict: Verdict): ComparisonRow => ({
  key,
  a,
  b,
  difference: a.value === null || b.value === null ? null : b.value - a.value,
  relative: null,
  threshold: 0.01,
  thresholdFrom: 'usual',
  verdict,
});
const comparison = (rows: readonly ComparisonRow[], more: Partial<Comparison> = {}): Comparison => ({
  rows,
  gained: rows.filter(({ verdict }) => verdict === 'better'),
  costs: rows.filter(({ verdict }) => verdict === 'worse'),
  watch: [],
  commonSpeedsRpm: [3000, 6000],
  differentInputs: false,
  stops: [false, false],
  onlyTurbine: null,
  sameBoost: null,
  ...more,
});
const headline = (rows: readonly ComparisonRow[], more: Partial<Comparison> = {}) =>
  plain(summaryWords(comparison(rows, more), ['Factory', 'Kestrel'], units).headline);

const LATER = row('boost-threshold', value(2440), value(2836), 'worse');
const COOLER = row('outlet-temperature', value(430), value(420), 'better');
const SAME: SameBoost = {
  engineSpeedRpm: 6000,
  manifoldPressurePa: 212_000,
  airGain: 0.021,
  powerGain: 0.021,
  breathingA: 0.955,
  breathingB: 0.972,
  backPressureA: 1.42,
  backPressureB: 1.18,
};

describe('the headline', () => {
  it('says first that a limit is crossed, then counts, then when the boost comes', () => {
    expect(headline([LATER, COOLER], { stops: [false, true] })).toBe(
      'With this goal Kestrel crosses a limit: see below. Kestrel against Factory: better in one point, worse in one. Kestrel holds the goal from 2840 rpm up, 400 rpm later.',
    );
    expect(headline([COOLER], { stops: [true, true] })).toContain('crosses a limit, as Factory does: see');
    expect(headline([COOLER], { stops: [true, false] })).toMatch(/^Kestrel against/);
  });

  it('says nothing of a threshold that is no different, or not known', () => {
    expect(headline([row('boost-threshold', value(2440), value(2450), 'same')])).not.toContain('holds the goal');
    expect(headline([row('boost-threshold', value(null), value(2450), 'unknown')])).not.toContain('holds the goal');
  });

  it('says that the goal is never driven, or driven from the lowest engine speed on', () => {
    expect(headline([row('boost-threshold', value(2440), value(7000, 'at-least'), 'worse')])).toMatch(
      /The exhaust does not drive Kestrel up to the goal at any engine speed\.$/,
    );
    expect(headline([row('boost-threshold', value(2440), value(1500, 'at-most'), 'better')])).toMatch(
      /Kestrel holds the goal from the lowest engine speed up, 940 rpm or more earlier\.$/,
    );
  });
});

describe('same boost, more power', () => {
  it('is explained by back-pressure where the cylinders fill better', () => {
    // 0.972/0.955 - 1 = 1.8 %; 1.021/1.0178 - 1 = 0.3 % (hand calculation).
    expect(plain(sameBoostWords(SAME, units))).toBe(
      ' Both hold 212 kPa absolute there: p3/p_m is 1.18 instead of 1.42, so less burnt gas stays in the cylinders and more fresh air comes in (+1.8 %); and the charge is cooler and denser (+0.3 %). Power follows: +2.1 %.',
    );
    const back = { ...SAME, airGain: -0.0175, powerGain: -0.0175, breathingA: 0.972, breathingB: 0.955 };
    expect(plain(sameBoostWords(back, units))).toMatch(
      /so more burnt gas stays in the cylinders and less fresh air comes in \(−1\.7 %\)\. Power follows: −1\.8 %\.$/,
    );
  });

  it('is explained by the charge where that is what differs, and names what works against it', () => {
    const cooler = { ...SAME, breathingB: SAME.breathingA, backPressureB: SAME.backPressureA };
    expect(plain(sameBoostWords(cooler, units))).toContain('there: the charge is cooler and denser (+2.1 %). Power');
    expect(plain(sameBoostWords({ ...SAME, airGain: -0.01 }, units))).toContain(
      'comes in (+1.8 %); but the charge is hotter and thinner (−2.7 %). Power',
    );
  });

  it('stands with the gain, and there is none to explain without it', () => {
    const gain = row('air-at-same-boost', value(0.24), value(0.245), 'better');
    const { gained } = summaryWords(comparison([gain], { sameBoost: SAME }), ['A', 'B'], units);
    expect(plain(gained[0]!)).toMatch(
      /^More air at the same boost: 0\.245 kg\/s against 0\.240 kg\/s\. Both hold 212 kPa/,
    );
    expect(sameBoostWords(null, units)).toBe('');
  });
});

describe('what is not known', () => {
  const note = (more: Partial<Comparison>, rows: readonly ComparisonRow[] = []) =>
    summaryWords(comparison(rows, more), ['A', 'B'], units).note;

  it('is said below: no turbine, or that of one only', () => {
    expect(note({})).toContain('no turbine is entered');
    expect(note({}, [LATER])).not.toContain('turbine');
    expect(note({ onlyTurbine: 'b' }, [LATER])).toContain('Only the turbine of B is known: A is computed as if');
    expect(note({ onlyTurbine: 'a' }, [LATER])).toContain('Only the turbine of A is known: B is computed as if');
  });

  it('rows of the turbine are left out where neither has one, rows of studies wait', () => {
    const keys = (rows: readonly ComparisonRow[]) => differenceRows(comparison(rows), units).map(({ key }) => key);
    expect(keys([COOLER])).toEqual(['power-at-ceiling', 'outlet-temperature', 'altitude-held']);
    expect(keys([COOLER, LATER])).toEqual([
      'power-at-ceiling',
      'boost-threshold',
      'outlet-temperature',
      'altitude-held',
    ]);
  });

  it('bounds are named, in round numbers', () => {
    const shown = (r: ComparisonRow) => {
      const found = differenceRows(comparison([r]), units).find(({ key }) => key === r.key)!;
      return [found.title, found.a, found.b, found.difference].map(plain);
    };
    expect(shown(LATER)).toEqual(['Boost threshold, rpm', '2440', '2840', '+400']);
    expect(shown(row('boost-threshold', value(2440), value(7000, 'at-least'), 'worse'))).toEqual([
      'Boost threshold, rpm',
      '2440',
      '> 7000',
      '≥ +4560',
    ]);
    const earlier = row('boost-threshold', value(2440), value(1500, 'at-most'), 'better');
    expect(shown(earlier).slice(2)).toEqual(['< 1500', '≤ −940']);
    const air = row('air-at-same-boost', value(0.24), value(0.245), 'better');
    expect(shown(air)).toEqual(['Air at the same boost, kg/s', '0.240', '0.245', '+0.005']);
    expect(shown(row('back-pressure-ratio', value(1.42), value(1.18), 'better'))).toEqual([
      'Back-pressure ratio p3/p_m',
      '1.42',
      '1.18',
      '−0.24',
    ]);
    expect(shown(row('wastegate-flow-fraction', value(0.22), value(0.124), 'worse'))).toEqual([
      'Wastegate flow fraction',
      '22.0 %',
      '12.4 %',
      '−9.6 points',
    ]);
  });
});
