import { describe, expect, it } from 'vitest';
import {
  donorWheel,
  fitSurface,
  referenceFactors,
  referTo,
  scaleSurface,
  tipSpeed,
  trim,
  wheelFigures,
  wheelRatios,
} from '../../src/compressor/index.ts';
import { nasaSheet } from '../compressor/nasa-map.ts';

const exact = (value: number) => ({ value, plusMinus: 0 });

describe('trim, SAE J922 (definition from memory)', () => {
  it('NASA HECC impeller: inducer tip radius 4.251 in, exducer radius 8.500 in (coordinate files): trim 25.0', () => {
    expect(trim(exact(4.251), exact(8.5)).value).toBeCloseTo(25.0, 1);
  });

  it('NASA CC3: inlet tip radius 105 mm, impeller radius 215.5 mm (Spakovszky, MIT thesis ch. 5.6.1): trim 23.7', () => {
    expect(trim(exact(105), exact(215.5)).value).toBeCloseTo(23.7, 1);
  });
});

describe('tip speed', () => {
  it('NASA HECC: 0.4318 m at 21,784 rev/min: 492.51 m/s; CC3: 0.431 m at 21,789: 491.71 m/s (hand calculation, pi D N/60)', () => {
    expect(tipSpeed(exact(0.4318), 21784).value).toBeCloseTo(492.51, 1);
    expect(tipSpeed(exact(0.431), 21789).value).toBeCloseTo(491.71, 2);
  });

  it('Gas Turbine Theory (Saravanamuttoo et al.) Ex. 4.1: 0.5 m at 290 rev/s: 455.5 m/s (from memory, recomputed)', () => {
    expect(tipSpeed(exact(0.5), 290 * 60).value).toBeCloseTo(455.5, 1);
  });
});

describe('scaling by similarity: NASA HECC 100 % low-flow point (reading 3308: 10.381 lbm/s, 21,784 rev/min) to 60 mm', () => {
  const surface = fitSurface(nasaSheet());
  const result = scaleSurface(surface, { exducerM: 0.4318 }, { exducerM: 0.06 });
  if (!result.ok) throw new Error(result.reason);
  const { estimate } = result.surface;

  it('diameter factor 0.138953; flow 0.090916 kg/s; speed 156,772 rev/min; tip speed 492.51 m/s (hand calculation, W ~ D^2, N ~ 1/D)', () => {
    expect(estimate.sizeRatio).toBeCloseTo(0.138953, 6);
    expect(10.381 * 0.45359237 * estimate.surgeFlowFactor).toBeCloseTo(0.090916, 6);
    expect(21784 * estimate.speedFactor).toBeCloseTo(156772, -1);
    expect(tipSpeed(exact(0.06), 21784 * estimate.speedFactor).value).toBeCloseTo(492.51, 1);
  });

  it('the scaled surface answers at the scaled point what the donor answers at the point itself, at the scaled speed', () => {
    const flow = 10.381 * 0.45359237;
    const donor = surface.at(flow, 4.8302);
    const scaled = result.surface.at(flow * estimate.surgeFlowFactor, 4.8302);
    expect(donor.correctedSpeedRpm).toBeGreaterThan(21_700);
    expect(scaled.correctedSpeedRpm! / (donor.correctedSpeedRpm! * (0.4318 / 0.06))).toBeCloseTo(1, 12);
    expect(scaled.efficiency).toBeCloseTo(donor.efficiency!, 12);
    expect(scaled).toMatchObject({ region: donor.region, estimated: true });
  });
});

describe('areas alone, wheels of 44.6/57 and 47.5/62 mm (common practice, no source)', () => {
  const small = { kind: 'compressor', inducerM: 0.0446, exducerM: 0.057, caliperM: 0 } as const;
  const large = { kind: 'compressor', inducerM: 0.0475, exducerM: 0.062, caliperM: 0 } as const;

  it('inducer area gives 13 % more flow, exducer area 18 %, and a claim of 17 % lies between', () => {
    const { inducerArea, exducerArea } = wheelRatios(large, small);
    expect(Math.round(100 * (inducerArea!.value - 1))).toBe(13);
    expect(Math.round(100 * (exducerArea!.value - 1))).toBe(18);
    expect(inducerArea!.value).toBeLessThan(1.17);
    expect(exducerArea!.value).toBeGreaterThan(1.17);
  });

  it('trims 61.2 and 58.7 (hand calculation)', () => {
    expect(wheelFigures(small).trim!.value).toBeCloseTo(61.22, 2);
    expect(wheelFigures(large).trim!.value).toBeCloseTo(58.7, 1);
  });

  it('a map scaled from one to the other: its choke end follows the inducer, its surge line the exducer', () => {
    const surface = fitSurface(nasaSheet());
    const result = scaleSurface(surface, small, large);
    if (!result.ok) throw new Error(result.reason);
    const speed = 20_000;
    const scaledSpeed = (speed * 57) / 62;
    const ratio = (end: 'surgeAt' | 'chokeAt') =>
      result.surface[end](scaledSpeed)!.correctedMassFlowKgPerS / surface[end](speed)!.correctedMassFlowKgPerS;
    expect(ratio('chokeAt')).toBeCloseTo((47.5 / 44.6) ** 2, 9);
    expect(ratio('surgeAt')).toBeCloseTo((62 / 57) ** 2, 9);
  });
});

/**
 * One operating point in several reference states: W 0.2 kg/s, N 150,000 rev/min, T01 308.15 K, p01 95.0 kPa. Hand calculation from
 * Wc = W sqrt(T01/Tref) pref/p01, Nc = N sqrt(Tref/T01); pairs of common practice.
 */
const STATES = [
  [288.15, 101325, 0.22059, 145051],
  [298, 100000, 0.21408, 147509],
  [298.15, 100000, 0.21403, 147546],
  [302.778, 96173.4, 0.20426, 148687],
  [293.15, 98100, 0.21174, 146304],
] as const;

describe.each(STATES)('one point at %d K, %d Pa', (temperatureK, pressurePa, flow, speed) => {
  it.each(STATES)('becomes the same at %d K, %d Pa', (toK, toPa, flowThere, speedThere) => {
    const factors = referenceFactors({ temperatureK, pressurePa }, { temperatureK: toK, pressurePa: toPa });
    expect(Math.abs((flow * factors.flow) / flowThere - 1)).toBeLessThan(5e-5);
    expect(Math.abs((speed * factors.speed) / speedThere - 1)).toBeLessThan(1e-5);
  });
});

it('ISA to 545 R and 28.4 inHg multiplies flow by 0.92595 (hand calculation), on a whole surface too', () => {
  const from = { temperatureK: 288.15, pressurePa: 101325 };
  const to = { temperatureK: 302.778, pressurePa: 96173.4 };
  expect(referenceFactors(from, to).flow).toBeCloseTo(0.92595, 4);
  const surface = fitSurface(nasaSheet());
  const referred = referTo(surface, to);
  const at = surface.at(4.5, 3);
  const there = referred.at(4.5 * referenceFactors(from, to).flow, 3);
  expect(there.correctedSpeedRpm! / at.correctedSpeedRpm!).toBeCloseTo(Math.sqrt(302.778 / 288.15), 12);
  expect(there).toMatchObject({ region: at.region, efficiency: at.efficiency });
  expect(there.estimated).toBeUndefined();
  expect(referTo(surface, from)).toBe(surface);
  expect(donorWheel(surface)).toEqual({});
});
