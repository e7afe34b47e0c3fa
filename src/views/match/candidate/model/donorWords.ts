import type { DonorLikeness, SurfaceEstimate } from '../../../../compressor/index.ts';
import { formatNumber, NO_BREAK_SPACE } from '../../../../units/index.ts';

export const LIKENESS_WORDS: Readonly<Record<DonorLikeness, string>> = {
  near: 'near',
  fair: 'fair',
  far: 'far: hardly more than a guess',
};

const percent = (share: number, decimals = 0) => `${formatNumber(share * 100, decimals)}${NO_BREAK_SPACE}%`;

/** What a scaled map is worth: how it was made, and within what the true one is expected to lie. */
export function bandWords({ band, sizeRatio, likeness }: SurfaceEstimate, donor: string): string {
  const change = sizeRatio - 1;
  const size =
    Math.abs(change) < 0.0005
      ? 'a wheel of the same size'
      : `a wheel ${percent(Math.abs(change), 1)} ${change > 0 ? 'larger' : 'smaller'}`;
  const guess = likeness === 'far' ? ' The two wheels have little in common: take it as a guess.' : '';
  return (
    `Estimate: “${donor}” scaled to ${size}. The true map is expected within ±${percent(band.surgeFlow)} of flow at surge, ` +
    `±${percent(band.chokeFlow)} at choke, ±${percent(band.pressureRatio, 1)} of pressure ratio, ` +
    `±${formatNumber(band.efficiency * 100, 1)} points of efficiency and ±${percent(band.correctedSpeed, 1)} of shaft speed.${guess}`
  );
}
