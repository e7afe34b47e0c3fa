import type { ReactNode } from 'react';
import { Button } from 'react-aria-components/Button';
import { Header } from 'react-aria-components/Header';
import { Menu, MenuItem, MenuSection, MenuTrigger } from 'react-aria-components/Menu';
import { Popover } from 'react-aria-components/Popover';
import { Separator } from 'react-aria-components/Separator';
import styles from './app.module.css';

export interface MenuEntry {
  id: string;
  text: string;
  /** Marks the entry that is in force now. */
  current?: boolean;
  /** Small word after the text: 'invented'. */
  tag?: string | undefined;
  keys?: string;
  isDisabled?: boolean;
  run: () => void;
}

export interface MenuGroup {
  title: string;
  entries: readonly MenuEntry[];
}

/** A button that opens a menu in titled groups. The button keeps its width whatever is chosen in it. */
export function MenuButton({
  label,
  className,
  children,
  groups,
}: {
  label: string;
  className: string;
  children: ReactNode;
  groups: readonly MenuGroup[];
}) {
  return (
    <MenuTrigger>
      <Button className={className} aria-label={label}>
        {children}
        <svg className={styles.caret} viewBox="0 0 8 8" aria-hidden="true">
          <path d="M1 2.500 4 5.500 7 2.500" fill="none" stroke="currentColor" strokeWidth="1.4" />
        </svg>
      </Button>
      <Popover className={styles.popover!} placement="bottom start" offset={2}>
        <Menu className={styles.menu!}>
          {groups.map((group, index) => (
            <MenuSection key={group.title} aria-label={group.title}>
              {index > 0 && <Separator className={styles.separator!} />}
              <Header className={styles.sectionTitle}>{group.title}</Header>
              {group.entries.map((entry) => (
                <MenuItem
                  key={entry.id}
                  id={entry.id}
                  className={styles.item!}
                  textValue={entry.text}
                  isDisabled={entry.isDisabled ?? false}
                  onAction={entry.run}
                >
                  <span className={styles.check}>{entry.current ? '✓' : ''}</span>
                  <span className={styles.itemText}>{entry.text}</span>
                  {entry.tag && <span className={styles.tag}>{entry.tag}</span>}
                  {entry.keys && <kbd className={styles.keys}>{entry.keys}</kbd>}
                </MenuItem>
              ))}
            </MenuSection>
          ))}
        </Menu>
      </Popover>
    </MenuTrigger>
  );
}
