import { describe, expect, it } from 'vitest';
import { closeCleanly, openApp, shoot, typeInto } from './harness.ts';
import { changed, field, readColumn, readFindings } from './screen.ts';

describe('driving up the mountain', () => {
  it('shows the shaft turning faster and the pressure ratio higher at every engine speed at 2,000 m than at sea level', async () => {
    const session = await openApp();
    const { page } = session;
    await typeInto(field(page, 'Altitude'), '0');
    const atSea = await changed(() => readColumn(page, 'Shaft speed'), new Map());
    const ratioAtSea = await readColumn(page, 'Pressure ratio');
    const findingsAtSea = await readFindings(page);
    await typeInto(field(page, 'Altitude'), '2000');
    const above = await changed(() => readColumn(page, 'Shaft speed'), atSea);
    const ratioAbove = await readColumn(page, 'Pressure ratio');

    const both = [...atSea.keys()].filter((rpm) => above.has(rpm));
    expect(both.length).toBeGreaterThan(10);
    expect(both.filter((rpm) => !((above.get(rpm) ?? 0) > (atSea.get(rpm) ?? 0)))).toEqual([]);
    expect(both.filter((rpm) => !((ratioAbove.get(rpm) ?? 0) > (ratioAtSea.get(rpm) ?? 0)))).toEqual([]);
    expect(await readFindings(page)).not.toEqual(findingsAtSea);
    await shoot(page, 'altitude-2000');
    await closeCleanly(session);
  });

  it('prints the station pressure of the standard atmosphere', async () => {
    const session = await openApp();
    const { page } = session;
    await page.getByLabel('Pressure from', { exact: true }).selectOption({ label: 'Standard atmosphere' });
    const air = page.getByLabel('Air at the engine');
    // Source: U.S. Standard Atmosphere 1976, geopotential altitude: 1,000 m 89,874.6 Pa, 2,000 m 79,495.2 Pa, 3,000 m 70,108.5 Pa.
    for (const [altitude, printed] of [
      ['0', /1013\.[23]|101\.3/],
      ['1000', /898\.[78]|89\.9/],
      ['2000', /79[45]\.[09]|79\.5/],
      ['3000', /701\.1|70\.1/],
    ] as const) {
      await typeInto(field(page, 'Altitude'), altitude);
      await expect.poll(() => air.textContent()).toMatch(printed);
    }
    await closeCleanly(session);
  });
});
