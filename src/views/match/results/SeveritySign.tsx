import type { Severity } from '../../shared/findingWords.ts';

const SHAPES: Readonly<Record<Severity, string>> = {
  // Different outlines, so that the sign says the same in black and white: filled square, triangle, ring, tick.
  stop: 'M1.500 1.500h11v11h-11z',
  caution: 'M7 1.500 13 12.500H1z',
  note: 'M7 2.500a4.500 4.500 0 1 0 0 9 4.500 4.500 0 0 0 0-9z',
  good: 'M1.500 7.500 5.500 11.500 12.500 3',
};

/** The mark of a severity: its outline carries the meaning, the hue repeats it. */
export function SeveritySign({ severity, className }: { severity: Severity; className: string | undefined }) {
  const filled = severity === 'stop' || severity === 'caution';
  return (
    <svg className={className} viewBox="0 0 14 14" aria-hidden="true">
      <path
        d={SHAPES[severity]}
        fill={filled ? 'currentColor' : 'none'}
        stroke="currentColor"
        strokeWidth={severity === 'good' ? 2 : 1.5}
      />
    </svg>
  );
}
