import type { SameBoost } from '../../../../match/index.ts';
import { formatNumber, NO_BREAK_SPACE } from '../../../../units/index.ts';
import type { CompareUnits } from '../../../shared/differenceRows.ts';
import { showResult } from '../../../shared/resultUnits.ts';

/** Under this share a part is not worth its words. */
const WORTH_SAYING = 0.002;

/**
 * Why the one passes more air than the other at the same boost, and what comes of it: two sentences with a space before them; '' for
 * none. At one manifold pressure air goes with how well the cylinders fill and how dense the charge is, and the two parts are named with
 * their sizes. Why back-pressure matters: the ideal cycle's residual gas (Heywood, from memory).
 */
export function sameBoostWords(same: SameBoost | null, { results }: CompareUnits): string {
  if (same === null) return '';
  const filling = same.breathingB / same.breathingA - 1;
  const density = (1 + same.airGain) / (1 + filling) - 1;
  const ratios = `${formatNumber(same.backPressureB, 2)} instead of ${formatNumber(same.backPressureA, 2)}`;
  const [less, more] = filling > 0 ? ['less', 'more'] : ['more', 'less'];
  const parts = [
    {
      share: filling,
      words: `p3/p_m is ${ratios}, so ${less} burnt gas stays in the cylinders and ${more} fresh air comes in`,
    },
    { share: density, words: `the charge is ${density > 0 ? 'cooler and denser' : 'hotter and thinner'}` },
  ].filter(({ share }) => Math.abs(share) >= WORTH_SAYING);
  const joint = filling * density < 0 ? '; but ' : '; and ';
  const why = parts.map(({ share, words }) => `${words} (${percent(share)})`).join(joint);
  const where = `Both hold ${showResult(same.manifoldPressurePa, 'absolute-pressure', results)} absolute there`;
  return ` ${where}${why === '' ? '' : `: ${why}`}. Power follows: ${percent(same.powerGain)}.`;
}

function percent(share: number): string {
  return `${share > 0 ? '+' : ''}${formatNumber(share * 100, 1)}${NO_BREAK_SPACE}%`;
}
