import type { ReactNode } from 'react';
import { Menu, MenuItem, MenuTrigger } from 'react-aria-components/Menu';
import { Popover } from 'react-aria-components/Popover';
import { Button } from './Button.tsx';
import { cx } from './cx.ts';
import { Icon, type IconName } from './Icon.tsx';
import { IconButton } from './IconButton.tsx';
import styles from './menu.module.css';

export interface MenuEntry {
  key: string;
  name: string;
  icon?: IconName | undefined;
  /** Shown at the end of the line: 'Ctrl+D'. */
  keys?: string | undefined;
  isDisabled?: boolean | undefined;
  /** Takes something away; stands apart below a rule. */
  isDanger?: boolean | undefined;
  onAction?: (() => void) | undefined;
}

export interface MenuButtonProps {
  /** The button's text, or only its name when an icon is given. */
  label: string;
  icon?: IconName | undefined;
  entries: readonly MenuEntry[];
  variant?: 'plain' | 'quiet' | undefined;
  children?: ReactNode;
}

/** A button that opens a short list of things to do. */
export function MenuButton({ label, icon, entries, variant = 'plain', children }: MenuButtonProps) {
  return (
    <MenuTrigger>
      {icon ? (
        <IconButton icon={icon} label={label} />
      ) : (
        <Button variant={variant}>
          {children ?? label}
          <Icon name="caret" className={styles.caret} />
        </Button>
      )}
      <Popover className={styles.popover!} placement="bottom start" offset={3}>
        <Menu className={styles.menu!} aria-label={label}>
          {entries.map((entry) => (
            <MenuItem
              key={entry.key}
              id={entry.key}
              textValue={entry.name}
              isDisabled={entry.isDisabled ?? false}
              className={cx(styles.item, entry.isDanger && styles.danger)}
              {...(entry.onAction && { onAction: entry.onAction })}
            >
              <span className={styles.icon}>{entry.icon && <Icon name={entry.icon} />}</span>
              <span className={styles.name}>{entry.name}</span>
              {entry.keys && <kbd className={styles.keys}>{entry.keys}</kbd>}
            </MenuItem>
          ))}
        </Menu>
      </Popover>
    </MenuTrigger>
  );
}
