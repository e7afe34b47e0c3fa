import { describe, expect, it } from 'vitest';
import { boostThreshold, solveOperatingLine, speedsUnderThreshold } from '../../src/match/index.ts';
import type { AltitudeCrossing } from '../../src/match/types.ts';
import { exampleInput } from './example-input.ts';
import { drivenPoint, missingPoint } from './solved-example.ts';
import { typicalTurbine } from './typical-turbine.ts';

const found = (points: Parameters<typeof boostThreshold>[0]) => {
  const threshold = boostThreshold(points);
  if (threshold?.status !== 'found') throw new Error(`not found: ${threshold?.status}`);
  return threshold;
};
const every = (step: number) => Array.from({ length: 5500 / step + 1 }, (_, i) => 1500 + step * i);

describe('boost threshold', () => {
  it.each([2.1, 2.6, 3])(
    'of a turbine %f times the size: what 20 rpm steps show, within 60 rpm from steps of 500',
    (size) => {
      const line = (step: number) =>
        solveOperatingLine(exampleInput({ turbine: typicalTurbine(size), engineSpeedsRpm: every(step) }));
      const fine = line(20);
      const first = fine.find((p) => p.status === 'ok' && p.turbine?.heldBy === 'goal')!.engineSpeedRpm;
      expect(Math.abs(found(fine).engineSpeedRpm - first)).toBeLessThan(30);
      // The share is no straight line over 1/n where the exhaust gets hotter with engine speed: a seventh of the step.
      expect(Math.abs(found(line(250)).engineSpeedRpm - first)).toBeLessThan(36);
      expect(Math.abs(found(line(500)).engineSpeedRpm - first)).toBeLessThan(60);
    },
  );

  it('comes later with a larger turbine', () => {
    const at = (size: number) =>
      found(solveOperatingLine(exampleInput({ turbine: typicalTurbine(size), engineSpeedsRpm: every(250) })));
    expect(at(2.2).engineSpeedRpm).toBeGreaterThan(at(2).engineSpeedRpm + 100);
    expect(at(2.6).engineSpeedRpm).toBeGreaterThan(at(2.2).engineSpeedRpm + 200);
  });

  it('is where the share left over comes to zero over 1/n (hand calculation)', () => {
    // 1 - 2,400/3,000 = 0.2 and 1 - 2,400/4,000 = 0.4: zero at 2,400.
    const points = [drivenPoint(2000, -0.2), drivenPoint(3000, 0.2), drivenPoint(4000, 0.4)];
    expect(found(points).engineSpeedRpm).toBeCloseTo(2400, 9);
    expect(found(points)).toMatchObject({ rangeRpm: [2000, 2000], firstHeld: { engineSpeedRpm: 3000 } });
  });

  it('never lies outside its step, whatever the shares', () => {
    for (const [first, second] of [
      [0.3, 0.31],
      [0.02, 0.5],
      [0, 0.2],
      [0.2, 0.1],
      [0.2, 0.2],
    ] as const) {
      const rpm = found([drivenPoint(2500, -0.1), drivenPoint(3000, first), drivenPoint(3500, second)]).engineSpeedRpm;
      expect(rpm).toBeGreaterThanOrEqual(2500);
      expect(rpm).toBeLessThanOrEqual(3000);
    }
  });

  it('with one point that holds divides the step by what is short and what is over', () => {
    // 0.3 short, 0.1 over: three quarters of the step.
    expect(found([drivenPoint(2000, -0.3), drivenPoint(3000, 0.1)]).engineSpeedRpm).toBeCloseTo(2750, 9);
  });

  it('over an engine speed at which the exhaust drives no boost at all is the first that holds', () => {
    const points = [missingPoint(1500, 'left-of-map'), missingPoint(2000, 'turbine-too-weak'), drivenPoint(2500, 0.1)];
    expect(found(points)).toMatchObject({ engineSpeedRpm: 2500, limited: [], rangeRpm: [2000, 2000] });
  });

  it('passes over what says nothing of the turbine', () => {
    const points = [missingPoint(1500, 'no-compression'), drivenPoint(2000, 0.1), drivenPoint(2500, 0.2)];
    expect(boostThreshold(points)).toEqual({ status: 'below', engineSpeedRpm: 2000 });
  });

  it('is not early because the goal begins low: a little boost is held before the exhaust drives the rest', () => {
    const ramp = (rpm: number, share: number, pressure: number) =>
      drivenPoint(rpm, share, { manifoldPressurePa: pressure * Math.min(1, 1 + share) });
    const early = [ramp(1500, 0.1, 105_000), ramp(2000, -0.2, 150_000), ramp(2500, -0.1, 190_000)];
    const rise = [...early, ramp(3000, 0.1, 200_000), ramp(3500, 0.2, 200_000)];
    expect(found(rise)).toMatchObject({ rangeRpm: [2000, 2500], firstHeld: { engineSpeedRpm: 3000 } });
    expect(boostThreshold([...early, ramp(3000, -0.05, 200_000)])).toMatchObject({ status: 'never' });
    // Short of it at the top, or in a dip between two that hold as much, is another matter.
    const top = [...rise, ramp(6500, -0.1, 200_000)];
    expect(found(top).rangeRpm).toEqual([2000, 2500]);
    const dip = [ramp(2500, 0.1, 200_000), ramp(3000, -0.05, 200_000), ramp(3500, 0.1, 200_000)];
    expect(boostThreshold(dip)).toEqual({ status: 'below', engineSpeedRpm: 2500 });
    // A goal that still rises where it gets short is held, not out of reach.
    const rising = [ramp(2500, 0.1, 190_000), ramp(5000, 0.05, 210_000), ramp(6500, -0.05, 220_000)];
    expect(boostThreshold(rising)).toEqual({ status: 'below', engineSpeedRpm: 2500 });
  });

  it('does not make a matter of less than a gauge shows', () => {
    expect(boostThreshold([drivenPoint(2500, -0.004), drivenPoint(3000, 0.1)])).toMatchObject({ status: 'below' });
    expect(boostThreshold([drivenPoint(2500, -0.006), drivenPoint(3000, 0.1)])).toMatchObject({ status: 'found' });
  });

  it('is never reached where nothing holds the goal, with the point that comes nearest', () => {
    const points = [drivenPoint(2000, -0.4), drivenPoint(3000, -0.1), drivenPoint(4000, -0.2)];
    expect(boostThreshold(points)).toMatchObject({
      status: 'never',
      engineSpeedRpm: 4000,
      best: { engineSpeedRpm: 3000 },
    });
    expect(boostThreshold([missingPoint(2000, 'turbine-too-weak')])).toMatchObject({ status: 'never', best: null });
  });

  it('is not known without a turbine', () => {
    expect(boostThreshold(solveOperatingLine(exampleInput()))).toBeNull();
    expect(boostThreshold([])).toBeNull();
  });
});

describe('engine speeds that the threshold passes on the way up', () => {
  const crossing = (
    engineSpeedRpm: number,
    status: AltitudeCrossing['status'],
    limit: AltitudeCrossing['limit'],
  ): AltitudeCrossing => ({
    engineSpeedRpm,
    status,
    limit,
    isGuess: false,
    altitudeM: status === 'holds' ? null : 500,
    holdsBetweenM: [],
  });

  it('are those from the lowest up that the turbine stops, at once or later', () => {
    const under = speedsUnderThreshold([
      crossing(3000, 'crossed', 'turbine'),
      crossing(2000, 'from-lowest', 'turbine-too-weak'),
      crossing(2500, 'from-lowest', 'turbine'),
      crossing(3500, 'crossed', 'shaft-speed'),
      crossing(6000, 'crossed', 'turbine'),
    ]);
    expect([...under]).toEqual([2000, 2500, 3000]);
  });

  it('are none without a turbine, and surge at the lowest speeds does not hide them', () => {
    expect(speedsUnderThreshold([crossing(2000, 'holds', null), crossing(2500, 'crossed', 'turbine')]).size).toBe(0);
    const surging = [crossing(1500, 'from-lowest', 'left-of-map'), crossing(2000, 'from-lowest', 'turbine')];
    expect([...speedsUnderThreshold(surging)]).toEqual([2000]);
  });
});
