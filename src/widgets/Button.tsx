import type { ReactNode, Ref } from 'react';
import styles from './button.module.css';
import { cx } from './cx.ts';
import { Icon, type IconName } from './Icon.tsx';

export interface ButtonProps {
  children: ReactNode;
  /** 'primary': the one thing to do here; 'plain': everything else; 'quiet': no outline, among other things; 'danger': takes something away. */
  variant?: 'primary' | 'plain' | 'quiet' | 'danger';
  icon?: IconName;
  onPress?: () => void;
  isDisabled?: boolean;
  type?: 'button' | 'submit';
  /** Instead of the visible text, where that is not enough by itself ('Delete' of what?). */
  label?: string;
  className?: string | undefined;
  autoFocus?: boolean;
  ref?: Ref<HTMLButtonElement>;
}

/** A text button, 28 px high. */
export function Button(props: ButtonProps) {
  const {
    children,
    variant = 'plain',
    icon,
    label,
    className,
    onPress,
    isDisabled,
    type = 'button',
    autoFocus,
    ref,
  } = props;
  return (
    <button
      ref={ref}
      type={type}
      className={cx(styles.button, styles[variant], className)}
      disabled={isDisabled ?? false}
      // biome-ignore lint/a11y/noAutofocus: in a dialog that has just opened the keyboard begins where the caller says
      autoFocus={autoFocus ?? false}
      aria-label={label}
      onClick={onPress && (() => onPress())}
    >
      {icon && <Icon name={icon} className={styles.icon} />}
      {children}
    </button>
  );
}
