import type { Ref } from 'react';
import { Button as AriaButton } from 'react-aria-components/Button';
import styles from './button.module.css';
import { cx } from './cx.ts';
import { Icon, type IconName } from './Icon.tsx';

export interface IconButtonProps {
  icon: IconName;
  /** What it does, for screen readers and as the tip under the pointer. */
  label: string;
  onPress?: () => void;
  isDisabled?: boolean;
  isPressed?: boolean;
  className?: string | undefined;
  ref?: Ref<HTMLButtonElement>;
}

/** A button that shows only a mark, 28 by 28 px. */
export function IconButton({ icon, label, isPressed, className, ...rest }: IconButtonProps) {
  return (
    <span className={styles.tip} title={label}>
      <AriaButton
        {...rest}
        aria-label={label}
        {...(isPressed !== undefined && { 'aria-pressed': isPressed })}
        className={cx(styles.button, styles.quiet, styles.square, className)}
      >
        <Icon name={icon} />
      </AriaButton>
    </span>
  );
}
