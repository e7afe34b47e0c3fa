import type { MapDraft } from '../../src/build/index.ts';
import { sheetToDraft } from '../../src/build/index.ts';
import type { MapSheet } from '../../src/compressor/index.ts';

/**
 * A placeholder sheet for tests of files, commands and storage: three speed lines of smooth invented numbers. Nothing about its
 * shape is claimed or tested.
 */
export const tinySheet: MapSheet = {
  format: 'lugline-map',
  version: 1,
  name: 'Tiny test map',
  source: 'invented for tests',
  reference: { temperatureK: 298.15, pressurePa: 100000 },
  flowUnit: 'kg/s',
  speedLines: [
    line(90000, [0.04, 1.5], [0.06, 1.49], [0.08, 1.44], [0.1, 1.33]),
    line(120000, [0.065, 1.98], [0.09, 1.96], [0.115, 1.87], [0.135, 1.68]),
    line(150000, [0.1, 2.72], [0.125, 2.68], [0.15, 2.55], [0.17, 2.28]),
  ],
  surgeLine: [
    { flow: 0.04, pressureRatio: 1.5 },
    { flow: 0.065, pressureRatio: 1.98 },
    { flow: 0.1, pressureRatio: 2.72 },
  ],
  islands: [
    {
      efficiency: 0.74,
      closed: true,
      points: [
        { flow: 0.09, pressureRatio: 1.8 },
        { flow: 0.11, pressureRatio: 1.9 },
        { flow: 0.1, pressureRatio: 2.1 },
        { flow: 0.085, pressureRatio: 1.95 },
      ],
    },
  ],
  limits: { shaftSpeedRpm: 160000 },
  wheel: { inducerMm: 42.5, exducerMm: 58.2 },
  invented: true,
};

function line(speedRpm: number, ...points: [number, number][]): MapSheet['speedLines'][number] {
  return {
    speedRpm,
    points: points.map(([flow, pressureRatio], i) => ({
      flow,
      pressureRatio,
      efficiency: [0.66, 0.73, 0.74, 0.66][i],
    })),
  };
}

export function tinyDraft(id: string, name = tinySheet.name): MapDraft {
  return { ...sheetToDraft(tinySheet, id), name };
}
