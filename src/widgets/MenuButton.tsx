import { type ReactNode, Suspense, useCallback, useEffect, useId, useRef, useState } from 'react';
import { Button, cx, Icon, type IconName } from './Button.tsx';
import buttonStyles from './button.module.css';
import { latePart } from './latePart.tsx';
import styles from './menu.module.css';

export interface MenuEntry {
  key: string;
  name: string;
  icon?: IconName | undefined;
  /** Small word after the name: 'invented'. */
  tag?: string | undefined;
  /** Marks the entry that is in force now; left out where entries are things to do, not to choose between. */
  isCurrent?: boolean | undefined;
  isDisabled?: boolean | undefined;
  /** Takes something away. */
  isDanger?: boolean | undefined;
  onAction?: (() => void) | undefined;
}

/** Entries under a heading, or without one. */
export interface MenuGroup {
  title: string;
  entries: readonly MenuEntry[];
}

/** The list with its keys: late, because it would take a tenth of the first script. */
const MenuList = latePart(async () => (await import('./MenuList.tsx')).MenuList);

/** What is open or closed under a button: a press elsewhere closes it, and `close` brings the keyboard back to the button. */
function useOpener() {
  const [isOpen, setOpen] = useState(false);
  const id = useId();
  const place = useRef<HTMLDivElement>(null);
  const button = useRef<HTMLButtonElement>(null);
  useEffect(() => {
    if (!isOpen) return;
    const outside = (event: PointerEvent) => {
      if (!place.current?.contains(event.target as Node)) setOpen(false);
    };
    document.addEventListener('pointerdown', outside);
    return () => document.removeEventListener('pointerdown', outside);
  }, [isOpen]);
  const close = useCallback(() => {
    setOpen(false);
    button.current?.focus();
  }, []);
  return { isOpen, setOpen, close, place, button, id };
}

/** A button that opens a menu; the keyboard comes back to it when the menu closes. */
export function MenuButton(props: {
  /** Name of button and menu. */
  label: string;
  /** Shown instead of the label. */
  children?: ReactNode;
  groups: readonly MenuGroup[];
  variant?: 'plain' | 'quiet' | undefined;
  /** 'end': the menu opens towards the start of the line, for buttons near the end of the page. */
  align?: 'start' | 'end' | undefined;
  className?: string | undefined;
}) {
  const { label, variant = 'plain', align = 'start' } = props;
  const { isOpen, setOpen, close, place, button, id } = useOpener();
  return (
    <div ref={place} className={styles.place} data-align={align}>
      <button
        ref={button}
        type="button"
        className={cx(buttonStyles.button, buttonStyles[variant], props.className)}
        aria-label={label}
        aria-haspopup="menu"
        aria-expanded={isOpen}
        aria-controls={isOpen ? id : undefined}
        onClick={() => setOpen(!isOpen)}
        onKeyDown={(event) => {
          if (event.key !== 'ArrowDown' && event.key !== 'ArrowUp') return;
          event.preventDefault();
          setOpen(true);
        }}
      >
        {props.children ?? label}
        <Icon name="caret" className={styles.caret} />
      </button>
      <Suspense fallback={null}>
        {isOpen && <MenuList id={id} label={label} groups={props.groups} onClose={close} />}
      </Suspense>
    </div>
  );
}

/** A button that opens a panel of controls under itself; Escape or a press elsewhere closes it, and the keyboard comes back. */
export function PanelButton(props: {
  /** Name of button and panel. */
  label: string;
  /** Drawn while it is open only. */
  children: ReactNode;
}) {
  const { label } = props;
  const { isOpen, setOpen, close, place, button, id } = useOpener();
  useEffect(() => {
    if (!isOpen) return;
    const onEscape = (event: KeyboardEvent) => event.key === 'Escape' && close();
    document.addEventListener('keydown', onEscape);
    return () => document.removeEventListener('keydown', onEscape);
  }, [isOpen, close]);
  return (
    <div ref={place} className={styles.place} data-align="end">
      <Button ref={button} variant="quiet" expanded={isOpen} onPress={() => setOpen(!isOpen)}>
        {label}
      </Button>
      {isOpen && (
        <section id={id} aria-label={label} className={styles.panel}>
          {props.children}
        </section>
      )}
    </div>
  );
}
