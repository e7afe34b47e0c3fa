import { useId } from 'react';
import styles from './choice.module.css';
import { FieldMessages } from './FieldMessages.tsx';

export interface SwitchFieldProps {
  label: string;
  value: boolean;
  onChange: (value: boolean) => void;
  help?: string | undefined;
  isDisabled?: boolean | undefined;
}

/** On or off; it takes effect at once. */
export function SwitchField({ label, value, onChange, help, isDisabled }: SwitchFieldProps) {
  const id = useId();
  return (
    <div>
      <label className={styles.switch}>
        {label}
        <input
          type="checkbox"
          role="switch"
          checked={value}
          aria-checked={value}
          disabled={isDisabled ?? false}
          onChange={(event) => onChange(event.target.checked)}
          {...(help && { 'aria-describedby': `${id}-help` })}
        />
        <span className={styles.track} />
      </label>
      <FieldMessages id={id} help={help} />
    </div>
  );
}
