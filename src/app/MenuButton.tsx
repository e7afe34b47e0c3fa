import { type KeyboardEvent, type ReactNode, useEffect, useId, useLayoutEffect, useRef, useState } from 'react';
import styles from './app.module.css';
import { menuStep } from './menuStep.ts';

export interface MenuEntry {
  id: string;
  text: string;
  /** Marks the entry that is in force now; left out where entries are things to do, not to choose between. */
  current?: boolean;
  /** Small word after the text: 'invented'. */
  tag?: string | undefined;
  run: () => void;
}

export interface MenuGroup {
  title: string;
  entries: readonly MenuEntry[];
}

/**
 * A button that opens a menu in titled groups, after the menu button pattern of the ARIA Authoring Practices: arrow keys, Home, End and
 * first letters move, Enter and Space choose, Escape and Tab close. Built here because a general menu would take a tenth of the
 * program's size.
 */
export function MenuButton({
  label,
  className,
  children,
  groups,
}: {
  label: string;
  className: string | undefined;
  children: ReactNode;
  groups: readonly MenuGroup[];
}) {
  const [isOpen, setOpen] = useState(false);
  const id = useId();
  const button = useRef<HTMLButtonElement>(null);
  const close = (giveFocusBack: boolean) => {
    setOpen(false);
    if (giveFocusBack) button.current?.focus();
  };
  return (
    <div className={styles.menuPlace}>
      <button
        ref={button}
        type="button"
        className={className}
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
        {children}
        <svg className={styles.caret} viewBox="0 0 8 8" aria-hidden="true">
          <path d="M1 2.500 4 5.500 7 2.500" fill="none" stroke="currentColor" strokeWidth="1.4" />
        </svg>
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
        <div key={group.title} role="group" aria-label={group.title} className={styles.menuGroup}>
          <div className={styles.sectionTitle} aria-hidden="true">
            {group.title}
          </div>
          {group.entries.map((entry) => (
            <button
              key={entry.id}
              type="button"
              tabIndex={-1}
              data-item={entry.text}
              className={styles.item}
              {...(entry.current === undefined
                ? { role: 'menuitem' }
                : { role: 'menuitemradio', 'aria-checked': entry.current })}
              onClick={() => {
                onClose(true);
                entry.run();
              }}
            >
              <span className={styles.check} aria-hidden="true">
                {entry.current ? '✓' : ''}
              </span>
              <span className={styles.itemText}>{entry.text}</span>
              {entry.tag && <span className={styles.tag}>{entry.tag}</span>}
            </button>
          ))}
        </div>
      ))}
    </div>
  );
}
