import { type KeyboardEvent, type ReactNode, useEffect, useId, useLayoutEffect, useRef, useState } from 'react';
import { cx, Icon, type IconName } from './Button.tsx';
import buttonStyles from './button.module.css';
import styles from './menu.module.css';

export interface MenuEntry {
  key: string;
  name: string;
  icon?: IconName | undefined;
  /** Shown at the end of the line: 'Ctrl+D'. */
  keys?: string | undefined;
  /** Small word after the name: 'invented'. */
  tag?: string | undefined;
  /** Marks the entry that is in force now; left out where entries are things to do, not to choose between. */
  isCurrent?: boolean | undefined;
  isDisabled?: boolean | undefined;
  /** Takes something away. */
  isDanger?: boolean | undefined;
  onAction?: (() => void) | undefined;
}

export interface MenuGroup {
  title: string;
  entries: readonly MenuEntry[];
}

export interface MenuButtonProps {
  /** Name of button and menu. */
  label: string;
  /** Shown instead of the label; with an icon the label is only read out. */
  children?: ReactNode;
  icon?: IconName | undefined;
  entries?: readonly MenuEntry[] | undefined;
  /** Entries under headings instead. */
  groups?: readonly MenuGroup[] | undefined;
  variant?: 'plain' | 'quiet' | undefined;
  /** 'end': the menu opens towards the start of the line, for buttons near the end of the page. */
  align?: 'start' | 'end' | undefined;
  className?: string | undefined;
}

const NO_ENTRIES: readonly MenuEntry[] = [];

/**
 * A button that opens a menu, after the menu button pattern of the ARIA Authoring Practices: arrow keys, Home, End and first letters move,
 * Enter and Space choose, Escape and Tab close. Built here because a general menu would take a tenth of the program's size.
 */
export function MenuButton(props: MenuButtonProps) {
  const { label, icon, variant = 'plain', align = 'start', className } = props;
  const [isOpen, setOpen] = useState(false);
  const id = useId();
  const button = useRef<HTMLButtonElement>(null);
  const close = (giveFocusBack: boolean) => {
    setOpen(false);
    if (giveFocusBack) button.current?.focus();
  };
  const groups = props.groups ?? [{ title: '', entries: props.entries ?? NO_ENTRIES }];
  return (
    <div className={styles.place} data-align={align}>
      <button
        ref={button}
        type="button"
        className={cx(buttonStyles.button, buttonStyles[variant], icon && buttonStyles.square, className)}
        aria-label={label}
        aria-haspopup="menu"
        aria-expanded={isOpen}
        aria-controls={isOpen ? id : undefined}
        title={icon && label}
        onClick={() => setOpen(!isOpen)}
        onKeyDown={(event) => {
          if (event.key !== 'ArrowDown' && event.key !== 'ArrowUp') return;
          event.preventDefault();
          setOpen(true);
        }}
      >
        {icon ? <Icon name={icon} /> : (props.children ?? label)}
        {!icon && <Icon name="caret" className={styles.caret} />}
      </button>
      {isOpen && <MenuList id={id} label={label} groups={groups} onClose={close} />}
    </div>
  );
}

function MenuList({
  id,
  label,
  groups,
  onClose,
}: {
  id: string;
  label: string;
  groups: readonly MenuGroup[];
  onClose: (giveFocusBack: boolean) => void;
}) {
  const list = useRef<HTMLDivElement>(null);
  const items = () => [...(list.current?.querySelectorAll<HTMLElement>('[data-item]') ?? [])];
  useLayoutEffect(() => {
    const all = [...(list.current?.querySelectorAll<HTMLElement>('[data-item]') ?? [])];
    (all.find((item) => item.getAttribute('aria-checked') === 'true') ?? all[0])?.focus();
  }, []);
  useEffect(() => {
    const outside = (event: PointerEvent) => {
      if (!list.current?.parentElement?.contains(event.target as Node)) onClose(false);
    };
    document.addEventListener('pointerdown', outside);
    return () => document.removeEventListener('pointerdown', outside);
  });
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.key === 'Escape' || event.key === 'Tab') {
      if (event.key === 'Escape') event.preventDefault();
      onClose(true);
      return;
    }
    const all = items();
    const texts = all.map((item) => item.dataset.item ?? '');
    const next = menuStep(event.key, all.indexOf(document.activeElement as HTMLElement), texts);
    if (next === null) return;
    event.preventDefault();
    all[next]?.focus();
  };
  return (
    <div ref={list} id={id} role="menu" aria-label={label} tabIndex={-1} className={styles.menu} onKeyDown={onKeyDown}>
      {groups.map((group) => (
        // biome-ignore lint/a11y/useSemanticElements: a group inside a menu, not a fieldset of a form
        <div key={group.title} role="group" aria-label={group.title || label} className={styles.group}>
          {group.title !== '' && (
            <div className={styles.heading} aria-hidden="true">
              {group.title}
            </div>
          )}
          {group.entries.map((entry) => (
            <MenuLine key={entry.key} entry={entry} onClose={onClose} />
          ))}
        </div>
      ))}
    </div>
  );
}

function MenuLine({ entry, onClose }: { entry: MenuEntry; onClose: (giveFocusBack: boolean) => void }) {
  return (
    <button
      type="button"
      tabIndex={-1}
      data-item={entry.name}
      className={cx(styles.item, entry.isDanger && styles.danger)}
      aria-disabled={entry.isDisabled || undefined}
      {...(entry.isCurrent === undefined
        ? { role: 'menuitem' }
        : { role: 'menuitemradio', 'aria-checked': entry.isCurrent })}
      onClick={() => {
        if (entry.isDisabled) return;
        onClose(true);
        entry.onAction?.();
      }}
    >
      <span className={styles.icon}>
        {entry.icon && <Icon name={entry.icon} />}
        {entry.isCurrent && <Icon name="check" />}
      </span>
      <span className={styles.name}>{entry.name}</span>
      {entry.tag && <span className={styles.tag}>{entry.tag}</span>}
      {entry.keys && <kbd className={styles.keys}>{entry.keys}</kbd>}
    </button>
  );
}

/**
 * Where a key moves the focus in a menu: the index of the item, or null when the key is not the menu's. Arrows go round; a letter goes to
 * the next item that begins with it.
 * @param at index of the focused item, -1 for none
 */
export function menuStep(key: string, at: number, texts: readonly string[]): number | null {
  const count = texts.length;
  if (count === 0) return null;
  if (key === 'ArrowDown') return (at + 1) % count;
  if (key === 'ArrowUp') return at <= 0 ? count - 1 : at - 1;
  if (key === 'Home') return 0;
  if (key === 'End') return count - 1;
  if (key.length !== 1 || key === ' ') return null;
  const letter = key.toLowerCase();
  for (let step = 1; step <= count; step += 1) {
    const index = (at + step) % count;
    if (texts[index]?.toLowerCase().startsWith(letter)) return index;
  }
  return null;
}
