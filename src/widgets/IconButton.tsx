import type { Ref } from 'react';
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
export function IconButton({ icon, label, onPress, isDisabled, isPressed, className, ref }: IconButtonProps) {
  return (
    <button
      ref={ref}
      type="button"
      className={cx(styles.button, styles.quiet, styles.square, className)}
      disabled={isDisabled ?? false}
      aria-label={label}
      aria-pressed={isPressed}
      title={label}
      onClick={onPress && (() => onPress())}
    >
      <Icon name={icon} />
    </button>
  );
}
