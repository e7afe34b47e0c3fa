import { memo, type ReactNode, type Ref, useImperativeHandle, useRef } from 'react';
import type { OperatingPoint } from '../../../match/index.ts';
import { formatNumber } from '../../../units/index.ts';
import styles from './readOut.module.css';
import { READ_OUT_CELLS, type ReadOutKey, type ReadOutWords } from './readOut.ts';

export interface ReadOutHandle {
  show: (texts: ReadOutWords) => void;
}

/**
 * The read-out under the map. It is written straight into the page: the pointer moves more often than React need know.
 * Every number has its fixed place.
 */
export function ReadOut({ ref, children }: { ref: Ref<ReadOutHandle>; children?: ReactNode }) {
  const box = useRef<HTMLElement>(null);
  useImperativeHandle(ref, () => ({ show: (texts) => write(box.current, texts) }), []);
  return (
    <section ref={box} className={styles.readOut} aria-label="Read-out">
      <div className={styles.heading}>
        <span data-part="heading" className={styles.at} />
        <span data-part="remark" className={styles.remark} />
        {children}
      </div>
      <dl className={styles.cells}>
        {READ_OUT_CELLS.map(({ key, title }) => (
          <div key={key}>
            <dt>{title}</dt>
            <dd data-part={key} />
          </div>
        ))}
      </dl>
    </section>
  );
}

function write(box: HTMLElement | null, texts: ReadOutWords): void {
  if (box === null) return;
  for (const element of box.querySelectorAll<HTMLElement>('[data-part]')) {
    const part = element.dataset.part as 'heading' | 'remark' | ReadOutKey;
    const text = part === 'heading' || part === 'remark' ? texts[part] : texts.cells[part];
    if (element.textContent !== text) element.textContent = text;
  }
}

const STEP_RPM = 50;

/** Walks along the operating line to any engine speed, also between the computed ones. */
export const SpeedWalk = memo(function SpeedWalk({
  points,
  chosenRpm,
  onChoose,
}: {
  points: readonly OperatingPoint[];
  chosenRpm: number | null;
  onChoose: (engineSpeedRpm: number) => void;
}) {
  const first = points[0]?.engineSpeedRpm;
  const last = points.at(-1)?.engineSpeedRpm;
  if (first === undefined || last === undefined || first === last) return <span className={styles.walk} />;
  const value = Math.min(Math.max(chosenRpm ?? first, first), last);
  return (
    <label className={styles.walk}>
      Engine speed
      <input
        type="range"
        min={first}
        max={last}
        step={STEP_RPM}
        value={value}
        aria-valuetext={`${formatNumber(value, 0)} rpm`}
        onChange={(event) => onChoose(Number(event.target.value))}
      />
    </label>
  );
});
