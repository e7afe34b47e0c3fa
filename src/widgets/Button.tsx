import { memo, type ReactNode, type Ref } from 'react';
import styles from './button.module.css';

/** Class names joined; what is missing or false is left out. */
export function cx(...names: readonly (string | false | null | undefined)[]): string {
  return names.filter(Boolean).join(' ');
}

/** Outlines on a 16 by 16 grid, one stroke weight, so that they read as part of the drawing. */
const PATHS = {
  plus: 'M8 3.5v9M3.5 8h9',
  minus: 'M3.5 8h9',
  whole: 'M2.5 6v-3.5H6M10 2.5h3.5V6M13.5 10v3.5H10M6 13.5H2.5V10',
  cross: 'm4 4 8 8M12 4l-8 8',
  chevron: 'm6 4 4 4-4 4',
  caret: 'm4.5 6.5 3.5 3.5 3.5-3.5',
  check: 'm3 8.5 3.5 3.5L13 4.5',
  // The signs of a severity, as beside the map and on paper: filled square, filled triangle, ring.
  stop: 'M3 3h10v10H3z',
  caution: 'M8 2.5 14 13H2z',
  note: 'M8 3a5 5 0 1 1 0 10A5 5 0 0 1 8 3z',
  undo: 'M6 3 3 6l3 3M3 6h6.5a3.5 3.5 0 0 1 0 7H6',
  redo: 'm10 3 3 3-3 3M13 6H6.5a3.5 3.5 0 0 0 0 7H10',
  copy: 'M6 6h7v7H6zM10 3H3v7',
  trash: 'M3 4.5h10M6.5 4.5V3h3v1.5M4.5 4.5l.6 8.5h5.8l.6-8.5',
  pencil: 'm3 13 .6-2.8L10.7 3 13 5.3l-7.2 7.1zM9.3 4.4l2.3 2.3',
  menu: 'M3 4.5h10M3 8h10M3 11.5h10',
  more: 'M3.5 8h.2M7.9 8h.2M12.3 8h.2',
  save: 'M8 2.5v7M5 6.8l3 3 3-3M3 11v2.5h10V11',
  open: 'M8 9.5v-7M5 5.3l3-3 3 3M3 11v2.5h10V11',
  table: 'M2.5 3.5h11v9h-11zM2.5 6.5h11M6.5 3.5v9',
  help: 'M8 2a6 6 0 1 1 0 12A6 6 0 0 1 8 2zM6.2 6.4a1.8 1.8 0 1 1 2.6 1.6c-.6.3-.8.7-.8 1.2M8 11.3v.2',
} as const;

export type IconName = keyof typeof PATHS;

/** A decorative mark; what it means stands in the text or the label beside it. */
export const Icon = memo(function Icon({ name, className }: { name: IconName; className?: string | undefined }) {
  return (
    <svg className={className} viewBox="0 0 16 16" width="16" height="16" aria-hidden="true" focusable="false">
      <path
        d={PATHS[name]}
        fill={name === 'stop' || name === 'caution' ? 'currentColor' : 'none'}
        stroke="currentColor"
        strokeWidth={name === 'more' ? 2 : 1.4}
        strokeLinecap="round"
        strokeLinejoin="round"
      />
    </svg>
  );
});

interface ButtonProps {
  children: ReactNode;
  /** 'primary': the one thing to do here; 'plain': everything else; 'quiet': no outline, among other things. */
  variant?: 'primary' | 'plain' | 'quiet';
  icon?: IconName;
  onPress?: () => void;
  isDisabled?: boolean;
  type?: 'button' | 'submit';
  /** Instead of the visible text, where that is not enough by itself ('Delete' of what?). */
  label?: string;
  className?: string | undefined;
  autoFocus?: boolean;
  /** Whether what it opens is open; left out: it opens nothing. */
  expanded?: boolean;
  ref?: Ref<HTMLButtonElement>;
}

/** A text button, 28 px high. */
export function Button(props: ButtonProps) {
  const { icon, onPress } = props;
  return (
    <button
      ref={props.ref}
      type={props.type ?? 'button'}
      className={cx(styles.button, styles[props.variant ?? 'plain'], props.className)}
      disabled={props.isDisabled ?? false}
      // biome-ignore lint/a11y/noAutofocus: in a dialog that has just opened the keyboard begins where the caller says
      autoFocus={props.autoFocus ?? false}
      aria-label={props.label}
      aria-expanded={props.expanded}
      onClick={onPress && (() => onPress())}
    >
      {icon && <Icon name={icon} className={styles.icon} />}
      {props.children}
    </button>
  );
}

interface IconButtonProps {
  icon: IconName;
  /** What it does, for screen readers and as the tip under the pointer. */
  label: string;
  onPress?: () => void;
  isDisabled?: boolean;
}

/** A button that shows only a mark, 28 by 28 px. */
export function IconButton({ icon, label, onPress, isDisabled }: IconButtonProps) {
  return (
    <button
      type="button"
      className={cx(styles.button, styles.quiet, styles.square)}
      disabled={isDisabled ?? false}
      aria-label={label}
      title={label}
      onClick={onPress && (() => onPress())}
    >
      <Icon name={icon} />
    </button>
  );
}
