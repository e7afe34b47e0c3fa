import { describe, expect, it } from 'vitest';
import { demoWorkspace } from '../../src/build/demo.ts';
import { type Build, changeFuel, tryMatchInput, type Workspace } from '../../src/build/index.ts';
import type { FuelKey } from '../../src/engine/index.ts';
import { solveOperatingLine } from '../../src/match/index.ts';

const open = (workspace: Workspace): Build => workspace.builds[workspace.activeBuildId]!;
const burning = (workspace: Workspace, ...fuels: FuelKey[]): Workspace =>
  fuels.reduce((held, fuel) => changeFuel(fuel).perform(held), workspace);
const consumption = (workspace: Workspace): string[] => open(workspace).engine.bsfc.rows.map((row) => row.value);

function powerAt(workspace: Workspace, engineSpeedRpm: number): number {
  const read = tryMatchInput(open(workspace), 0);
  if (!read.ok) throw new Error('The demonstration build can be read.');
  const point = solveOperatingLine(read.input).find((p) => p.engineSpeedRpm === engineSpeedRpm);
  if (point?.status !== 'ok') throw new Error('It has a point there.');
  return point.brakePowerW;
}

describe('another fuel', () => {
  const petrol = demoWorkspace();

  it('takes the consumption with it by heating value', () => {
    // Hand calculation with the heating values of the US DOE: 285 g/kWh x 43.44 / 20.09 MJ/kg = 616.2 g/kWh of methanol.
    expect(consumption(petrol)).toEqual(['285', '295', '325']);
    const [first] = consumption(burning(petrol, 'methanol'));
    expect(Number(first)).toBeCloseTo(616.2, 0);
  });

  it('makes power by its heat per air: E85 within 5 % of petrol at the same air, not half as much again', () => {
    // Heat per kg of air, hand calculation at lambda 1: petrol 43.44 / 14.60 = 2.975 MJ; E85, 85.7 % ethanol by mass, 29.31 / 9.78 = 2.996 MJ.
    const ratio = powerAt(burning(petrol, 'e85'), 5000) / powerAt(petrol, 5000);
    expect(ratio).toBeGreaterThan(0.98);
    expect(ratio).toBeLessThan(1.05);
  });

  it('comes back to what was typed', () => {
    for (const fuel of ['e10', 'e85', 'ethanol', 'methanol', 'diesel', 'natural-gas'] as const) {
      expect(consumption(burning(petrol, fuel, 'petrol'))).toEqual(consumption(petrol));
    }
  });

  it('leaves alone what cannot be read, and everything when the fuel is the same', () => {
    const build = open(petrol);
    const rows = [{ engineSpeed: '2000', value: 'about 300' }, ...build.engine.bsfc.rows.slice(1)];
    const odd = { ...build, engine: { ...build.engine, bsfc: { ...build.engine.bsfc, rows } } };
    const workspace = { ...petrol, builds: { ...petrol.builds, [build.id]: odd } };
    expect(consumption(burning(workspace, 'e85'))[0]).toBe('about 300');
    expect(burning(workspace, 'petrol')).toBe(workspace);
  });
});
