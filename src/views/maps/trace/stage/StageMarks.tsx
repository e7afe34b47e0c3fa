import { memo } from 'react';
import { type Size, type StageView, stageMatrix, toStage } from '../model/stageView.ts';
import styles from './stage.module.css';
import type { StageLine, StagePoint } from './stageTypes.ts';

/** Lines in the picture's own pixels: moving the picture only changes the group's matrix. */
export const StageLines = memo(function StageLines({ lines }: { lines: readonly StageLine[] }) {
  return lines.map((line) => {
    const path = pathOf(line);
    return (
      <g key={line.id} data-line={line.look}>
        {line.look !== 'grid' && <path className={styles.halo} d={path} />}
        <path className={styles[line.look]} d={path} />
      </g>
    );
  });
});

/** Straight pieces, closed where the line is. */
function pathOf({ places, closed }: StageLine): string {
  if (places.length < 2) return '';
  const text = places.map(({ x, y }) => `${x.toFixed(2)} ${y.toFixed(2)}`).join('L');
  return `M${text}${closed === true ? 'Z' : ''}`;
}

export interface StageMarksProps {
  lines: readonly StageLine[];
  points: readonly StagePoint[];
  selected: string | null;
  view: StageView;
  size: Size;
}

/** Everything that lies over the picture. Points keep their size whatever the zoom. */
export function StageMarks({ lines, points, selected, view, size }: StageMarksProps) {
  return (
    <svg className={styles.marks} width={size.width} height={size.height} aria-hidden="true">
      <g transform={`matrix(${stageMatrix(view, size).join(' ')})`}>
        <StageLines lines={lines} />
      </g>
      {lines.flatMap((line) => {
        const last = line.places.at(-1);
        if (line.label === undefined || last === undefined) return [];
        const { left, top } = toStage(view, size, last);
        return [
          <text key={line.id} className={styles.label} x={left + 4} y={top - 3}>
            {line.label}
          </text>,
        ];
      })}
      {points.map((point) => {
        const { left, top } = toStage(view, size, point.place);
        if (left < -20 || top < -20 || left > size.width + 20 || top > size.height + 20) return null;
        const isSelected = point.id === selected;
        return (
          <g
            key={point.id}
            data-point={point.isFixed === true ? undefined : point.id}
            data-look={point.look}
            data-selected={isSelected || undefined}
            transform={`translate(${left.toFixed(2)} ${top.toFixed(2)})`}
            className={point.isFixed === true ? styles.fixed : styles.point}
          >
            {isSelected && <circle className={styles.chosen} r="11" />}
            {point.isDoubtful === true && <circle className={styles.doubtful} r="9" />}
            <PointShape look={point.look} />
            {/* What the pointer can grip is larger than what is seen. */}
            {point.isFixed !== true && <circle className={styles.grip} r="9" />}
            <title>{point.name}</title>
          </g>
        );
      })}
    </svg>
  );
}

function PointShape({ look }: { look: StagePoint['look'] }) {
  switch (look) {
    case 'axis':
      return <path className={styles.axisPoint} d="M-9 0H-2M2 0H9M0-9V-2M0 2V9M-5-5h10v10h-10z" />;
    case 'current':
      return <circle className={styles.currentPoint} r="3.6" />;
    case 'reading':
      return <path className={styles.readingPoint} d="M0-5 5 0 0 5-5 0z" />;
    case 'proposed':
      return <circle className={styles.proposedPoint} r="4" />;
    default:
      return <circle className={styles.otherPoint} r="2.4" />;
  }
}
