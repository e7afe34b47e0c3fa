import { donorWheel, isUsableBand, nearestDonors, type RankedDonor } from '../compressor/index.ts';
import type { Build, MapDraft } from './document.ts';
import { fitDraft } from './fitDraft.ts';
import { type MapFitter, mapFitter } from './mapFitter.ts';
import { readCard, scalingWheel } from './readCard.ts';
import { isTurbineSheet } from './sheetKind.ts';

export type { RankedDonor };

/**
 * Maps of the shelf that could be scaled to a candidate's measured wheel, the likest first. A map that cannot be fitted, has no
 * exducer diameter or is too unlike is left out; without a measured exducer there are none.
 */
export function donorChoice(
  build: Build,
  index: number,
  shelf: readonly MapDraft[],
  fitter: MapFitter = mapFitter,
): readonly RankedDonor[] {
  const card = readCard(build, index);
  if (card?.compressor.exducerM === undefined) return [];
  const donors = shelf.flatMap((map) => {
    if (isTurbineSheet(map)) return [];
    const { surface } = fitDraft(map, fitter);
    return surface === null ? [] : [{ id: map.id, name: map.name, wheel: donorWheel(surface) }];
  });
  return nearestDonors(scalingWheel(card), donors).filter(({ band }) => isUsableBand(band));
}
