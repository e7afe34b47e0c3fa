import { useId } from 'react';
import { Switch } from 'react-aria-components/Switch';
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
      <Switch
        className={styles.switch!}
        isSelected={value}
        onChange={onChange}
        isDisabled={isDisabled ?? false}
        {...(help && { 'aria-describedby': `${id}-help` })}
      >
        {label}
        <span className={styles.track} />
      </Switch>
      <FieldMessages id={id} help={help} />
    </div>
  );
}
