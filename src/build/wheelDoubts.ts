import type { CompressorSurface } from '../compressor/types.ts';
import { formatQuantity } from '../units/index.ts';
import type { Build } from './document.ts';
import type { Problem } from './parsed.ts';
import { readCard } from './readCard.ts';

/** Wheels that differ by more than this, besides what the calipers may be off, are not the same (common practice, no source). */
const SAME_WHEEL = 0.01;

/**
 * Doubts about the measured compressor wheel of a candidate that do not stand in the way: entries that cannot be read, and a wheel that is
 * not the one on the sheet of the candidate's own map. `surface` is the candidate's; on a scaled one the wheel is the measured one.
 */
export function wheelDoubts(build: Build, index: number, surface: CompressorSurface): Problem[] {
  const card = readCard(build, index);
  if (card === null) return [];
  const { compressor, problems } = card;
  const named = [
    { field: 'inducer', measuredM: compressor.inducerM, sheetMm: surface.wheel.inducerMm },
    { field: 'exducer', measuredM: compressor.exducerM, sheetMm: surface.wheel.exducerMm },
  ] as const;
  const differing = named.flatMap(({ field, measuredM, sheetMm }): Problem[] => {
    if (measuredM === undefined || sheetMm === undefined || surface.estimate !== undefined) return [];
    const sheetM = sheetMm / 1000;
    if (Math.abs(measuredM - sheetM) <= SAME_WHEEL * sheetM + compressor.caliperM) return [];
    const unit = build.candidates[index]?.wheels.compressor[field].unit ?? 'mm';
    const length = (m: number) => formatQuantity(m, 'wheel-length', unit);
    const message = `The measured ${field} is ${length(measuredM)}, that of the map's sheet ${length(sheetM)}: check that the map is that of this turbo.`;
    return [{ path: `candidates[${index}].wheels.compressor.${field}`, message }];
  });
  return [...problems, ...differing];
}
