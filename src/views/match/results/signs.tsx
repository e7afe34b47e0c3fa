import { memo, useContext } from 'react';
import { type CandidateStyle, candidateLook, candidateMarker, PaletteContext } from '../../../plot/index.ts';
import type { Severity } from '../../shared/findingSentences.ts';
import viewStyles from '../match.module.css';
import type { VerdictPart } from '../model/verdict.ts';
import styles from './candidates.module.css';

const SHAPES: Readonly<Record<Severity, string>> = {
  // Different outlines, so that the sign says the same in black and white: filled square, triangle, ring, tick.
  stop: 'M1.500 1.500h11v11h-11z',
  caution: 'M7 1.500 13 12.500H1z',
  note: 'M7 2.500a4.500 4.500 0 1 0 0 9 4.500 4.500 0 0 0 0-9z',
  good: 'M1.500 7.500 5.500 11.500 12.500 3',
};

/** The mark of a severity: its outline carries the meaning, the hue repeats it. */
export const SeveritySign = memo(function SeveritySign({ severity }: { severity: Severity }) {
  const filled = severity === 'stop' || severity === 'caution';
  return (
    <svg className={styles.severity} data-severity={severity} viewBox="0 0 14 14" aria-hidden="true">
      <path
        d={SHAPES[severity]}
        fill={filled ? 'currentColor' : 'none'}
        stroke="currentColor"
        strokeWidth={severity === 'good' ? 2 : 1.5}
      />
    </svg>
  );
});

const MIDDLE = { x: 17, y: 7 };

/** A candidate's line as it is drawn on the map: its hue, dash and marker. */
export function LineSign({ style }: { style: CandidateStyle }) {
  const { colour, dash } = candidateLook(style, useContext(PaletteContext));
  return (
    <svg className={styles.lineSign} viewBox="0 0 34 14" aria-hidden="true">
      <path d="M0 7h34" stroke={colour} strokeWidth="2.4" strokeDasharray={dash ?? undefined} />
      <path d={candidateMarker(style, MIDDLE)} fill="var(--raised)" stroke={colour} strokeWidth="1.8" />
    </svg>
  );
}

/** Stands wherever a candidate is computed on another wheel's map. */
export function EstimateTag() {
  return <span className={styles.estimate}>estimate</span>;
}

interface VerdictProps {
  parts: readonly VerdictPart[];
  onGo: (part: VerdictPart) => void;
}

/** The answer: one sentence a candidate, the worst first. Pressing one goes to the place that it speaks of. */
export const Verdict = memo(
  function Verdict({ parts, onGo }: VerdictProps) {
    return (
      <p className={viewStyles.verdict} role="status" aria-label="Verdict">
        {parts.map((part) => (
          <button key={part.index} type="button" title={part.sentence} onClick={() => onGo(part)}>
            <SeveritySign severity={part.severity} />
            {part.sentence}
          </button>
        ))}
      </p>
    );
  },
  (before, now) => before.onGo === now.onGo && JSON.stringify(before.parts) === JSON.stringify(now.parts),
);
