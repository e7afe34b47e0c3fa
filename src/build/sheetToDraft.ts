import type { MapSheet } from '../compressor/types.ts';
import type { MapDraft } from './document.ts';

/** A number as text that reads back as the same number. */
const text = (value: number): string => String(value);

/** A missing number is an empty cell. */
const cell = (value: number | undefined): string => (value === undefined ? '' : text(value));

const point = (p: { flow: number; pressureRatio: number }) => ({
  flow: text(p.flow),
  pressureRatio: text(p.pressureRatio),
});

/** A sheet's numbers as the text tables of the Maps view. draftToSheet of the result gives the same numbers back. */
export function sheetToDraft(sheet: MapSheet, id: string): MapDraft {
  return {
    id,
    name: sheet.name,
    source: sheet.source,
    ...(sheet.invented === undefined ? {} : { invented: sheet.invented }),
    reference: {
      temperature: { text: text(sheet.reference.temperatureK), unit: 'K' },
      pressure: { text: text(sheet.reference.pressurePa), unit: 'Pa' },
    },
    flowUnit: sheet.flowUnit,
    efficiencyUnit: '1',
    speedLines: sheet.speedLines.map((line) => ({
      speed: text(line.speedRpm),
      points: line.points.map((p) => ({ ...point(p), efficiency: cell(p.efficiency) })),
    })),
    surgeLine: (sheet.surgeLine ?? []).map(point),
    islands: (sheet.islands ?? []).map((island) => ({
      efficiency: text(island.efficiency),
      closed: island.closed,
      points: island.points.map(point),
    })),
    limits: { shaftSpeed: { text: cell(sheet.limits?.shaftSpeedRpm), unit: 'rpm' } },
    wheel: {
      inducer: { text: cell(sheet.wheel?.inducerMm), unit: 'mm' },
      exducer: { text: cell(sheet.wheel?.exducerMm), unit: 'mm' },
    },
  };
}
