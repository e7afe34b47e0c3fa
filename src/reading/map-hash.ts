import type { MapSheet } from '../compressor/index.ts';
import type { TurbineSheet } from '../turbine/index.ts';
import { sha256 } from './sha256.ts';

/** Thirty-two signs without those that are taken for one another (I, L, O, U left out). */
const SIGNS = '0123456789ABCDEFGHJKMNPQRSTVWXYZ';

/**
 * A short name for a map's data, to be printed and compared: 40 bits of SHA-256 as 'XXXX-XXXX'.
 * Of the data only: reference, unit, lines, surge line, islands, limits, wheel; not of name and source. The same whatever the order of
 * keys, of lines and of the points along a line, and however a number was written (0.30 and 3e-1 are one).
 */
export function mapHash(sheet: MapSheet): string {
  return dataHash(canonicalData(sheet));
}

/** 40 bits of SHA-256 of a text as 'XXXX-XXXX'. */
function dataHash(data: string): string {
  const bytes = sha256(new TextEncoder().encode(data));
  let text = '';
  let bits = 0;
  let held = 0;
  for (const byte of bytes.subarray(0, 5)) {
    bits = (bits << 8) | byte;
    held += 8;
    while (held >= 5) {
      held -= 5;
      text += SIGNS[(bits >> held) & 31];
    }
    bits &= (1 << held) - 1;
  }
  return `${text.slice(0, 4)}-${text.slice(4)}`;
}

/** The same for a turbine sheet: of the meaning of its flow and its lines, in whatever order they stand. */
export function turbineHash({ flow, lines }: Pick<TurbineSheet, 'flow' | 'lines'>): string {
  const meaning =
    flow.kind === 'parameter'
      ? `flow parameter ${flow.pressureUnit}`
      : `flow ${flow.unit} reference ${number(flow.reference.temperatureK)} ${number(flow.reference.pressurePa)}`;
  const written = lines.map(({ speedRpm, points }) => {
    const texts = points.map((p) => `${number(p.expansionRatio)},${number(p.flow)},${number(p.efficiency)}`);
    return `${number(speedRpm)}: ${texts.sort().join(' ')}`;
  });
  return dataHash(['lugline turbine data 1', meaning, ...written.sort()].join('\n'));
}

/** The data as one text with everything in a fixed order. */
function canonicalData(sheet: MapSheet): string {
  const place = (p: { flow: number; pressureRatio: number; efficiency?: number | undefined }) =>
    `${number(p.flow)},${number(p.pressureRatio)},${number(p.efficiency)}`;
  const along = (points: Parameters<typeof place>[0][]) =>
    points
      .sort((a, b) => a.flow - b.flow || b.pressureRatio - a.pressureRatio)
      .map(place)
      .join(' ');
  const lines = sheet.speedLines.map((line) => `${number(line.speedRpm)}: ${along([...line.points])}`).sort();
  // The order of an island's points is its shape.
  const islands = (sheet.islands ?? [])
    .map((i) => `${number(i.efficiency)} ${i.closed ? 'closed' : 'open'}: ${i.points.map(place).join(' ')}`)
    .sort();
  return [
    'lugline map data 1',
    `reference ${number(sheet.reference.temperatureK)} ${number(sheet.reference.pressurePa)}`,
    `flow ${sheet.flowUnit}`,
    ...lines,
    `surge ${along([...(sheet.surgeLine ?? [])])}`,
    ...islands,
    `limit ${number(sheet.limits?.shaftSpeedRpm)}`,
    `wheel ${number(sheet.wheel?.inducerMm)} ${number(sheet.wheel?.exducerMm)}`,
  ].join('\n');
}

/** Twelve digits: more than anyone types, fewer than a conversion back and forth disturbs. */
function number(value: number | undefined): string {
  if (value === undefined) return '-';
  return Number.isFinite(value) ? String(Number(value.toPrecision(12)) + 0) : 'unreadable';
}
