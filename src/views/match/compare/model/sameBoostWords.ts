import type { SameBoost } from '../../../../store/index.ts';
import { formatNumber, NO_BREAK_SPACE } from '../../../../units/index.ts';
import type { CompareUnits } from '../../../shared/differenceRows.ts';
import { showResult } from '../../../shared/resultUnits.ts';

/**
 * Why the one passes more air than the other at the same boost, and what comes of it: two sentences with a space before them; '' for
 * none. At one manifold pressure air goes with how well the cylinders fill and how dense the charge is: whichever is the larger part is
 * named. Why back-pressure matters: the ideal cycle's residual gas (Heywood, from memory).
 */
export function sameBoostWords(same: SameBoost | null, { results }: CompareUnits): string {
  if (same === null) return '';
  const { airGain, powerGain, breathingA, breathingB, backPressureA, backPressureB } = same;
  const fuller = breathingB / breathingA - 1;
  const isFilling = fuller * airGain > 0 && Math.abs(fuller) >= Math.abs(airGain) / 2;
  const isMore = airGain > 0;
  const ratios = `${formatNumber(backPressureB, 2)} instead of ${formatNumber(backPressureA, 2)}`;
  const why = isFilling
    ? `p3/p_m is ${ratios}, so ${isMore ? 'less' : 'more'} burnt gas stays in the cylinders and ${isMore ? 'more' : 'less'} fresh air comes in`
    : `the charge is ${isMore ? 'cooler and denser' : 'hotter and thinner'}`;
  return (
    ` Both hold ${showResult(same.manifoldPressurePa, 'absolute-pressure', results)} absolute there: ${why}.` +
    ` Power follows: ${percent(powerGain)}.`
  );
}

function percent(share: number): string {
  return `${share > 0 ? '+' : ''}${formatNumber(share * 100, 1)}${NO_BREAK_SPACE}%`;
}
