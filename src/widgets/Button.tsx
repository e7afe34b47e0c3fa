import type { ReactNode, Ref } from 'react';
import { Button as AriaButton } from 'react-aria-components/Button';
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
export function Button({ children, variant = 'plain', icon, label, className, ...rest }: ButtonProps) {
  return (
    <AriaButton
      {...rest}
      {...(label && { 'aria-label': label })}
      className={cx(styles.button, styles[variant], className)}
    >
      {icon && <Icon name={icon} className={styles.icon} />}
      {children}
    </AriaButton>
  );
}
