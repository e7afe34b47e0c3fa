import { describe, expect, it } from 'vitest';
import { crossedLimit, heldLimits, linePart, studyLimits } from '../../src/match/held-limits.ts';
import { lineParts, type OperatingPointSolved, solveOperatingLine } from '../../src/match/index.ts';
import type { TurbineState } from '../../src/match/types.ts';
import { exampleInput } from './example-input.ts';

const input = exampleInput();
const held = heldLimits(input, studyLimits(input, undefined));
const solved = solveOperatingLine(input).filter((point): point is OperatingPointSolved => point.status === 'ok');
const free = solved.find((point) => crossedLimit(point, held) === null)!;
const over: OperatingPointSolved = { ...free, surgeMargin: -0.03, region: 'left-of-surge' };

/** Only who holds the point is read. */
const driven = (heldBy: TurbineState['heldBy']): Partial<OperatingPointSolved> => ({
  turbine: {
    heldBy,
    reachedShare: { goal: 1, turbine: 0.8, gate: 1.1 }[heldBy],
    gateOpening: null,
    inletTemperatureK: 1150,
  } as TurbineState,
  wastegateShare: heldBy === 'goal' ? 0.2 : 0,
  backPressureRatio: 1.1,
});

describe('the part of a line', () => {
  it('is that of the goal while it is held and no limit is crossed, with and without a turbine', () => {
    expect(linePart(free, held)).toBe('goal');
    expect(linePart({ ...free, ...driven('goal') }, held)).toBe('goal');
  });

  it('is that of a limit where holding the goal crosses one', () => {
    expect(linePart(over, held)).toBe('ceiling');
    expect(linePart({ ...over, ...driven('goal') }, held)).toBe('ceiling');
  });

  it('is that of the turbine where the gate is shut, whatever is crossed besides', () => {
    expect(linePart({ ...free, ...driven('turbine') }, held)).toBe('turbine');
    expect(linePart({ ...over, ...driven('turbine') }, held)).toBe('turbine');
    expect(linePart({ ...over, ...driven('gate') }, held)).toBe('creep');
  });

  it('is none where there is no point', () => {
    expect(linePart({ engineSpeedRpm: 1000, status: 'left-of-map', message: '' }, held)).toBeNull();
  });

  it('is the same as that of ceilings and held goals at every speed of a solved line', () => {
    const line = solveOperatingLine(input);
    lineParts(line, input).forEach((part, index) => {
      const point = line[index]!;
      if (point.status === 'ok') expect(part === 'ceiling').toBe(crossedLimit(point, held) !== null);
      else expect(part).toBeNull();
    });
  });
});
