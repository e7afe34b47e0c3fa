import { describe, expect, it } from 'vitest';
import type { Finding, FindingCode } from '../../../src/match/index.ts';
import { findingWords, sentenceOf } from '../../../src/views/shared/findingWords.ts';
import { resultUnits } from '../../../src/views/shared/resultUnits.ts';

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
  'left-of-surge': { surgeMargin: -0.042, correctedMassFlowKgPerS: 0.06, pressureRatio: 2.1 },
  'surge-margin': { surgeMargin: 0.062, leastMargin: 0.1 },
  choked: { chokeMargin: -0.02, correctedMassFlowKgPerS: 0.4, pressureRatio: 2.1 },
  'choke-margin': { chokeMargin: 0.03, leastMargin: 0.05 },
  'outlet-temperature': { temperatureK: 463.15, limitK: 453.15 },
  'manifold-pressure': { pressurePa: 262_000, limitPa: 250_000 },
  'brake-power': { powerW: 301_000, limitW: 290_000 },
  'injector-duty': { duty: 1.07, dutyLimit: 0.85 },
  'injector-pressure': { pressureDifferencePa: -20_000 },
  'pump-flow': { flowM3PerS: 8e-5, pumpFlowM3PerS: 7e-5 },
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
  'no-point-left-of-map': demand,
  'no-point-right-of-map': demand,
  'no-point-above-map': demand,
  'no-point-no-compression': demand,
  'no-point-inlet-exhausted': demand,
  'no-point-unreachable-goal': demand,
  'no-point-turbine-too-weak': demand,
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
      'At 6,400 rpm the shaft turns 148,200 rpm, 1.2 % under its limit: less than the reserve of 3 %. Within the reserve from 6,000 to 6,800 rpm.',
    );
    expect(plain(sentenceOf(finding('overspeed', { rangeRpm: [6400, 6400] }), metric))).toBe(
      'At 6,400 rpm the shaft turns 152,300 rpm, 1.2 % over its limit of 150,500 rpm.',
    );
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
