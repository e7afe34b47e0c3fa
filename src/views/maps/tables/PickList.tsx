import type { AuditFinding } from '../../../compressor/index.ts';
import { Icon } from '../../../widgets/index.ts';
import styles from '../maps.module.css';

export interface PickItem {
  name: string;
  /** Small, at the end: how many points, open or closed. */
  note: string;
  /** The worst finding about it, shown instead of the note. */
  worst: AuditFinding | undefined;
}

export interface PickListProps {
  label: string;
  items: readonly PickItem[];
  chosen: number;
  onChoose: (index: number) => void;
  /** The item under the pointer; null when it has left. */
  onRest?: ((index: number | null) => void) | undefined;
}

/** Speed lines or islands by their value; one is chosen and its points are beside it. */
export function PickList({ label, items, chosen, onChoose, onRest }: PickListProps) {
  return (
    <ul aria-label={label}>
      {items.map(({ name, note, worst }, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: an item is known by its place; its value is being typed
        <li key={i}>
          <button
            type="button"
            className={styles.lineButton}
            aria-current={i === chosen}
            onClick={() => onChoose(i)}
            onMouseEnter={() => onRest?.(i)}
            onMouseLeave={() => onRest?.(null)}
          >
            <span className={styles.lineSpeed}>{name}</span>
            {worst ? (
              <span className={styles[worst.severity]} title={worst.message}>
                <Icon name={worst.severity === 'error' ? 'stop' : 'caution'} />
                <span className={styles.hidden}>{worst.severity}</span>
              </span>
            ) : (
              <span className={styles.lineCount}>{note}</span>
            )}
          </button>
        </li>
      ))}
    </ul>
  );
}
