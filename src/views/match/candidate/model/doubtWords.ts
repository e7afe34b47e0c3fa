import type { WheelDoubt } from '../../../../compressor/index.ts';

/** What is doubtful with a measured wheel: what, and what to do. */
export function doubtWords(doubt: WheelDoubt, wheel: 'compressor' | 'turbine'): string {
  switch (doubt) {
    case 'swapped':
      return wheel === 'compressor'
        ? 'The inducer is larger than the exducer. On a compressor wheel the exducer is the larger one: swap the two.'
        : 'The exducer is larger than the inducer. On a turbine wheel the inducer is the larger one: swap the two.';
    case 'trim-unusual':
      return 'Such a trim is rare. Measure both diameters again, across opposite blades.';
    case 'tip-height-unusual':
      return 'Such a tip height is rare for this diameter. Measure it again, blade only.';
  }
}
