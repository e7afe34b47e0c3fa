import type { MapDraft } from '../../src/build/index.ts';
import { turbineSheetToDraft } from '../../src/build/index.ts';
import type { TurbineSheet } from '../../src/turbine/index.ts';

/** A placeholder turbine sheet for tests of files, commands and conversion: two lines of smooth invented numbers. */
export const tinyTurbine: TurbineSheet = {
  name: 'Tiny test turbine',
  source: 'invented for tests',
  flow: { kind: 'corrected', unit: 'kg/s', reference: { temperatureK: 288.15, pressurePa: 101325 } },
  lines: [
    line(50000, [1.3, 0.1, 0.66], [1.7, 0.12, 0.7], [2.2, 0.128, 0.68]),
    line(70000, [1.6, 0.115, 0.65], [2.1, 0.126, 0.71], [2.8, 0.131, 0.69]),
  ],
  invented: true,
};

function line(speedRpm: number, ...points: [number, number, number][]): TurbineSheet['lines'][number] {
  return {
    speedRpm,
    points: points.map(([expansionRatio, flow, efficiency]) => ({ expansionRatio, flow, efficiency })),
  };
}

export function turbineDraft(id: string, name = tinyTurbine.name, sheet: TurbineSheet = tinyTurbine): MapDraft {
  return { ...turbineSheetToDraft(sheet, id), name };
}
