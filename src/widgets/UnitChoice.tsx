import type { QuantityKey, Unit } from '../units/index.ts';
import { unitOf, unitsOf } from '../units/index.ts';
import styles from './field.module.css';
import { Icon } from './Icon.tsx';

/**
 * The unit beside a number: plain text when there is but one, else the platform's own list, which is cheap enough to stand forty times
 * in a sidebar and works with every keyboard, finger and screen reader.
 */
export function UnitChoice({
  label,
  quantity,
  unit,
  only,
  isDisabled,
  onChange,
}: {
  /** Name of the field that the unit belongs to. */
  label: string;
  quantity: QuantityKey;
  unit: string;
  only?: readonly string[] | undefined;
  isDisabled?: boolean | undefined;
  onChange: (unit: string) => void;
}) {
  const offered = unitsOf(quantity).filter(
    (candidate) => !only || candidate.key === unit || only.includes(candidate.key),
  );
  const current = unitOf(quantity, unit);
  if (offered.length < 2) {
    // Empty for a plain number: the column stays, so that numbers align.
    return <span className={styles.unit}>{current.label}</span>;
  }
  return (
    <span className={styles.unitChoice}>
      <select
        aria-label={`${label}: unit`}
        title={current.name}
        value={unit}
        disabled={isDisabled}
        onChange={(event) => onChange(event.target.value)}
      >
        {offered.map((candidate: Unit) => (
          <option key={candidate.key} value={candidate.key}>
            {candidate.label === '' ? '0–1' : candidate.label}
          </option>
        ))}
      </select>
      <Icon name="caret" className={styles.caret} />
    </span>
  );
}
