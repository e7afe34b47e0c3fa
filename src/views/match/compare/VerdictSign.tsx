import type { DifferenceRow } from '../../shared/differenceRows.ts';

const SHAPES: Readonly<Record<DifferenceRow['verdict'], string>> = {
  // Told apart by outline alone: a filled triangle up, a hollow one down, two bars, a short dash, dots.
  better: 'M6 1.500 11.500 10.500H.5z',
  worse: 'M1.300 2h9.400L6 9.800z',
  same: 'M1.500 4.200h9M1.500 7.800h9',
  unknown: 'M3 6h6',
  pending: 'M2 6h.1M6 6h.1M10 6h.1',
};

/** The sign of a verdict; the word stands beside it. */
export function VerdictSign({ verdict }: { verdict: DifferenceRow['verdict'] }) {
  return (
    <svg viewBox="0 0 12 12" width="0.9em" height="0.9em" aria-hidden="true">
      <path
        d={SHAPES[verdict]}
        fill={verdict === 'better' ? 'currentColor' : 'none'}
        stroke="currentColor"
        strokeWidth="1.6"
        strokeLinecap="round"
        strokeLinejoin="round"
      />
    </svg>
  );
}
