import { Icon } from '../../widgets/index.ts';
import styles from './toolSelect.module.css';

/** A small list in a tool bar; its name is read out and shown as a tip, since there is no room for a label. */
export function ToolSelect<Key extends string>({
  name,
  value,
  options,
  onChange,
}: {
  name: string;
  value: Key;
  options: readonly { key: Key; name: string }[];
  onChange: (key: Key) => void;
}) {
  return (
    <span className={styles.tool} title={name}>
      <select
        aria-label={name}
        value={value}
        onChange={(event) => {
          const chosen = options.find(({ key }) => key === event.target.value);
          if (chosen) onChange(chosen.key);
        }}
      >
        {options.map((option) => (
          <option key={option.key} value={option.key}>
            {option.name}
          </option>
        ))}
      </select>
      <Icon name="caret" className={styles.caret} />
    </span>
  );
}
