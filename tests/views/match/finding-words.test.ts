import { describe, expect, it } from 'vitest';
import { type Finding, type FindingCode, fullTitle, lineTitle, resultUnits } from '../../../src/match/index.ts';
import { findingWords, sentenceOf } from '../../../src/views/shared/findingSentences.ts';

const metric = resultUnits({});
const us = resultUnits({
  resultUnits: { pressure: 'psi', 'mass-flow': 'lb/min', temperature: 'degF', power: 'hp', torque: 'lbft' },
});
const plain = (text: string) => text.replaceAll('\u00a0', ' ');
const held = { firstPointRpm: 2500, lastPointRpm: 6000, value: 0.9 };
const demand = { correctedMassFlowKgPerS: 0.31, pressureRatio: 3.42, points: 3 };

/** One example a code: the type makes a code without an example an error of the compiler. */
const EXAMPLES: Record<FindingCode, Finding['values']> = {
  overspeed: { shaftSpeedRpm: 152_306, limitRpm: 150_500, margin: -0.012 },
  'speed-reserve': { shaftSpeedRpm: 148_213, limitRpm: 150_000, margin: 0.0119, reserve: 0.03 },
  'no-speed-limit': { shaftSpeedRpm: 148_213 },
  'edge-guessed': { surgeMargin: -0.04, chokeMargin: 0.02, correctedSpeedRpm: 41_000, lowestLineRpm: 60_000 },
  'left-of-surge': { surgeMargin: -0.042, correctedMassFlowKgPerS: 0.06, pressureRatio: 2.1 },
  'surge-margin': { surgeMargin: 0.062, leastMargin: 0.1 },
  choked: { chokeMargin: -0.02, correctedMassFlowKgPerS: 0.4, pressureRatio: 2.1 },
  'choke-margin': { chokeMargin: 0.03, leastMargin: 0.05 },
  'outlet-temperature': { temperatureK: 463.15, limitK: 453.15 },
  'manifold-pressure': { pressurePa: 262_000, limitPa: 250_000 },
  'brake-power': { powerW: 301_000, limitW: 290_000 },
  torque: { torqueNm: 512, limitNm: 450 },
  'injector-duty': { duty: 1.07, dutyLimit: 0.85 },
  'injector-pressure': { pressureDifferencePa: -20_000 },
  'pump-flow': { flowM3PerS: 8e-5, pumpFlowM3PerS: 7e-5 },
  'fuel-needed': {
    injectorCount: 4,
    injectorFlowM3PerS: 1.0172e-5,
    ratedPressurePa: 3e5,
    dutyLimit: 0.85,
    pumpFlowM3PerS: 2.7001e-5,
    pumpPressurePa: 4.4e5,
  },
  'fuel-supply-not-checked': {},
  'map-extended-above': { correctedSpeedRpm: 166_000, highestLineRpm: 160_000 },
  'map-extended-below': { correctedSpeedRpm: 66_000, lowestLineRpm: 70_000 },
  'map-extended': { correctedMassFlowKgPerS: 0.4, pressureRatio: 2 },
  'efficiency-assumed': { efficiency: 0.7 },
  'map-estimated': {
    surgeFlowBand: 0.05,
    chokeFlowBand: 0.06,
    pressureRatioBand: 0.02,
    efficiencyBand: 0.018,
    correctedSpeedBand: 0.02,
    sizeRatio: 1.09,
    trimDifference: -2.5,
  },
  'bsfc-implausible': { thermalEfficiency: 0.71, bsfcKgPerJ: 3e-8 },
  'curve-held-volumetric-efficiency': held,
  'curve-held-lambda': held,
  'curve-held-bsfc': { ...held, value: 300 / 3.6e9 },
  'curve-held-goal': held,
  'port-diesel-as-direct': {},
  'water-condenses': { manifoldTemperatureK: 298.15, dewPointRatio: 1.2 },
  'peak-power': { brakePowerW: 300_000, wheelPowerW: 255_000 },
  'peak-torque': { torqueNm: 480 },
  'peak-shaft-speed': { shaftSpeedRpm: 148_213 },
  'within-limits': { points: 20, speedMargin: 0.051, surgeMargin: 0.12, chokeMargin: 0.2 },
  'back-pressure': { backPressureRatio: 2.13, limitRatio: 2 },
  'turbine-temperature': { temperatureK: 1248.15, limitK: 1223.15 },
  'turbine-heat': { temperatureK: 1248.15, estimated: 1 },
  'turbine-limited': { reachedShare: 0.93, boostPa: 95_000, goalBoostPa: 110_000, choked: 1 },
  'turbine-never-holds': { reachedShare: 0.8, wheelPowerW: 160_000, goalWheelPowerW: 200_000, highestRpm: 7000 },
  'boost-threshold': { reachedShare: 0.7, boostPa: 46_000, goalBoostPa: 110_000, thresholdRpm: 2447, shortRpm: 1800 },
  'no-gate': { wastegateShare: 0.18 },
  'gate-creep': { reachedShare: 1.1, boostPa: 131_000, goalBoostPa: 110_000, neededM2: 4.1e-4, areaM2: 3.44e-4 },
  'gate-nearly-open': { opening: 0.92, neededM2: 3.16e-4, areaM2: 3.44e-4 },
  'gate-area': { neededM2: 1.21e-4 },
  'gate-nearly-shut': { wastegateShare: 0.012 },
  'wastegate-flow-fraction': { wastegateShare: 0.22 },
  'turbine-choked': { expansionRatio: 3.1, turbineInletPressurePa: 355_000 },
  'turbine-estimated': { band: 0.15 },
  'turbine-extended': { expansionRatio: 3.1, lastExpansionRatio: 2.8 },
  'turbine-temperature-estimated': { lowestK: 1073.15, highestK: 1223.15 },
  'peak-back-pressure': { turbineInletPressurePa: 320_000, backPressureRatio: 1.52, expansionRatio: 2.71 },
  'no-turbine': {},
  'curve-held-turbine-temperature': { ...held, value: 1173.15 },
  'no-point-left-of-map': demand,
  'no-point-right-of-map': demand,
  'no-point-above-map': demand,
  'no-point-no-compression': demand,
  'no-point-inlet-exhausted': demand,
  'no-point-unreachable-goal': demand,
  'no-point-turbine-too-weak': demand,
  'no-point-gate-too-small': demand,
  'no-point-exhaust-blocked': demand,
  'no-point-no-efficiency': demand,
  'no-point-bad-input': demand,
  'no-point-not-converged': demand,
};

const finding = (code: FindingCode, extra: Partial<Finding> = {}): Finding => ({
  severity: 'stop',
  code,
  engineSpeedRpm: 6400,
  rangeRpm: [6000, 6800],
  values: EXAMPLES[code],
  ...extra,
});

describe('findings in words', () => {
  it.each(Object.keys(EXAMPLES) as FindingCode[])('%s is a whole sentence without a missing number', (code) => {
    for (const units of [metric, us]) {
      const sentence = sentenceOf(finding(code), units);
      expect(sentence).toMatch(/^[A-Z].*\.$/);
      expect(sentence).not.toMatch(/–|NaN|undefined|no-point|\s{2}/);
      expect(sentence.startsWith(code)).toBe(false);
    }
  });

  it('says the shaft speed, the limit and the margin in one breath', () => {
    expect(plain(sentenceOf(finding('speed-reserve', { severity: 'caution' }), metric))).toBe(
      'At 6400 rpm the shaft turns 148\u202f200 rpm, 1.2 % under its limit: less than the reserve of 3 %. Within the reserve from 6000 to 6800 rpm.',
    );
    expect(plain(sentenceOf(finding('overspeed', { rangeRpm: [6400, 6400] }), metric))).toBe(
      'At 6400 rpm the shaft turns 152\u202f300 rpm, 1.2 % over its limit of 150\u202f500 rpm.',
    );
  });

  it('never rounds a limit: it is the maker’s number, or the user’s', () => {
    const said = (code: FindingCode, values: Finding['values'], units = metric) =>
      plain(sentenceOf(finding(code, { values, rangeRpm: undefined }), units));
    const speeds = { shaftSpeedRpm: 152_306, limitRpm: 150_485, margin: -0.012 };
    expect(said('overspeed', speeds)).toContain('over its limit of 150\u202f485 rpm.');
    const krpm = resultUnits({ resultUnits: { 'shaft-speed': 'krpm' } });
    expect(said('overspeed', speeds, krpm)).toContain('turns 152.3 krpm, 1.2 % over its limit of 150.485 krpm.');
    const hot = { temperatureK: 463.15, limitK: 452.65 };
    expect(said('outlet-temperature', hot)).toContain('179.5 °C');
    // 179.5 x 1.8 + 32, by hand; 290 kW is no short number in horsepower: 388.9 (745.6999 W each, NIST SP 811, B.8).
    expect(said('outlet-temperature', hot, us)).toContain('355.1 °F');
    expect(said('brake-power', EXAMPLES['brake-power'], us)).toContain('389 hp');
  });

  it('says of several turbos whose it is, and of one nothing', () => {
    const said = (code: FindingCode, count: number) =>
      plain(sentenceOf(finding(code, { rangeRpm: undefined }), metric, count));
    expect(said('overspeed', 2)).toBe(
      'Per turbo: at 6400 rpm the shaft turns 152\u202f300 rpm, 1.2 % over its limit of 150\u202f500 rpm.',
    );
    expect(said('overspeed', 1)).toMatch(/^At 6400 rpm the shaft/);
    // Power is the engine's, however many feed it.
    expect(said('peak-power', 2)).toBe(said('peak-power', 1));
    const titles = (several?: true) => [
      fullTitle('shaftSpeedRpm', { several }),
      fullTitle('airMassFlowKgPerS', { several }),
      fullTitle('wheelPowerW', { several }),
      lineTitle('speed-margin', { several }),
    ];
    expect(titles(true)).toEqual([
      'Shaft speed per turbo',
      'Air flow of the engine',
      'Wheel power',
      'Least speed margin per turbo',
    ]);
    expect(titles()).toEqual(['Shaft speed', 'Air flow', 'Wheel power', 'Least speed margin']);
  });

  it('does not let a small excess read as none', () => {
    const values = { shaftSpeedRpm: 156_047, limitRpm: 156_000, margin: 1 - 156_047 / 156_000 };
    expect(plain(sentenceOf(finding('overspeed', { values }), metric))).toContain('0.03 % over its limit');
  });

  it('speaks in the units that the user chose', () => {
    expect(plain(sentenceOf(finding('outlet-temperature'), metric))).toContain('190 °C; the limit is 180 °C');
    // 463.15 K is 374 degrees Fahrenheit by definition of the scale.
    expect(plain(sentenceOf(finding('outlet-temperature'), us))).toContain('374 °F; the limit is 356 °F');
    expect(plain(sentenceOf(finding('manifold-pressure'), metric))).toContain('262 kPa absolute');
    expect(plain(sentenceOf(finding('manifold-pressure'), us))).toContain('38.0 psi absolute');
  });

  it('names injectors and pump that are enough, never a hair too small', () => {
    // 1.0172e-5 m3/s is 610.32 cc/min and, at 10.5 cc/min a pound an hour, 58.1; 2.7001e-5 m3/s is 97.2 L/h and 25.68 US gal/h.
    expect(plain(sentenceOf(finding('fuel-needed', { severity: 'note', rangeRpm: undefined }), metric))).toBe(
      'At 6400 rpm 4 injectors of at least 611 cc/min each, rated at 300 kPa, are needed to stay within 85 % duty; the pump must give 98 L/h against 440 kPa.',
    );
    expect(plain(sentenceOf(finding('fuel-needed'), resultUnits({ system: 'us' })))).toMatch(
      / at least 59 lb\/h each, .* 25\.7 US gal\/h against/,
    );
  });

  it('says what the exhaust drives of the goal, in the quantity of the goal', () => {
    const say = (code: FindingCode, values: Finding['values'], units = metric) =>
      plain(sentenceOf(finding(code, { severity: 'caution', values }), units));
    expect(say('turbine-limited', EXAMPLES['turbine-limited'])).toBe(
      'At 6400 rpm the gate is shut and the exhaust drives 95 kPa of boost instead of 110 kPa; the turbine is choked. Turbine-limited from 6000 to 6800 rpm.',
    );
    const absolute = { reachedShare: 0.9, pressurePa: 198_000, goalPressurePa: 220_000 };
    expect(say('turbine-limited', absolute)).toContain('drives 198 kPa absolute instead of 220 kPa. Turbine');
    const power = { reachedShare: 0.8, brakePowerW: 160_000, goalBrakePowerW: 200_000 };
    // 160,000 W / 745.6999 W per horsepower (NIST SP 811, B.8) = 214.6.
    expect(say('turbine-limited', power, us)).toContain('drives 215 hp at the crankshaft instead of 268 hp');
    expect(say('turbine-never-holds', EXAMPLES['turbine-never-holds'])).toContain(
      'up to 7000 rpm. At 6400 rpm it falls farthest short: 160 kW at the wheels instead of 200 kW.',
    );
  });

  it('says from where on the full goal is not driven', () => {
    const values = { ...EXAMPLES['turbine-never-holds'], heldRpm: 2000 };
    expect(plain(sentenceOf(finding('turbine-never-holds', { values }), metric))).toMatch(
      /^Over 2000 rpm the exhaust drives the full goal at no engine speed up to 7000 rpm\./,
    );
  });

  it('says the threshold, and where the lowest engine speed holds already', () => {
    const say = (values: Finding['values']) => plain(sentenceOf(finding('boost-threshold', { values }), metric));
    expect(say(EXAMPLES['boost-threshold'])).toBe(
      'From about 2450 rpm up the exhaust drives the goal (boost threshold). At 1800 rpm it drives 46 kPa of boost instead of 110 kPa.',
    );
    expect(say({ thresholdRpm: 1500, below: 1 })).toBe(
      'The exhaust drives the goal already at 1500 rpm, the lowest engine speed that has a point.',
    );
  });

  it('the good news names the threshold, the back-pressure and what is in hand where they are known', () => {
    const values = {
      points: 20,
      speedMargin: 0.051,
      thresholdRpm: 2447,
      backPressureRatio: 1.522,
      wastegateShare: 0.22,
    };
    expect(plain(sentenceOf(finding('within-limits', { severity: 'good', values }), metric))).toBe(
      'From about 2450 rpm up the goal is held and every limit entered holds; least margins: speed 5.1 %; p3/p_m at most 1.52; 22.0 % of the exhaust in hand at peak power.',
    );
  });

  it('keeps two runs of one code apart and the order as given', () => {
    const words = findingWords(
      [finding('overspeed'), finding('surge-margin', { severity: 'caution' }), finding('overspeed')],
      metric,
    );
    expect(words.map(({ id, word }) => [id, word])).toEqual([
      ['overspeed-1', 'Stop'],
      ['surge-margin-1', 'Caution'],
      ['overspeed-2', 'Stop'],
    ]);
  });
});
