import { Header, Menu, MenuItem, MenuSection } from 'react-aria-components/Menu';
import { cx, Icon } from './Button.tsx';
import type { MenuEntry, MenuGroup } from './MenuButton.tsx';
import styles from './menu.module.css';

/** The open list of a MenuButton. Arrow keys, Home, End and first letters move, Enter and Space choose, Escape and Tab close. */
export function MenuList(props: { id: string; label: string; groups: readonly MenuGroup[]; onClose: () => void }) {
  const { groups, onClose } = props;
  const all = groups.flatMap(({ entries }) => entries);
  const start = all.find(({ isCurrent }) => isCurrent) ?? all[0];
  return (
    <div
      onKeyDownCapture={(event) => {
        if (event.key !== 'Escape' && event.key !== 'Tab') return;
        if (event.key === 'Escape') event.preventDefault();
        event.stopPropagation();
        onClose();
      }}
    >
      <Menu id={props.id} aria-label={props.label} className={styles.menu!} onClose={onClose}>
        {groups.map(({ title, entries }) => (
          <MenuSection key={title} aria-label={title || props.label} className={styles.group!} {...choice(entries)}>
            {title !== '' && <Header className={styles.heading!}>{title}</Header>}
            {entries.map((entry) => (
              <MenuLine key={entry.key} entry={entry} isStart={entry === start} onClose={onClose} />
            ))}
          </MenuSection>
        ))}
      </Menu>
    </div>
  );
}

/** The keyboard begins on this entry. */
const focus = (item: HTMLElement | null) => item?.focus();

/** Entries of which one is in force are a choice; others are things to do. */
function choice(entries: readonly MenuEntry[]) {
  if (entries.every(({ isCurrent }) => isCurrent === undefined)) return {};
  const current = entries.filter(({ isCurrent }) => isCurrent).map(({ key }) => key);
  return { selectionMode: 'single', disallowEmptySelection: true, selectedKeys: current } as const;
}

function MenuLine({ entry, isStart, onClose }: { entry: MenuEntry; isStart: boolean; onClose: () => void }) {
  return (
    <MenuItem
      {...(isStart && { ref: focus })}
      id={entry.key}
      textValue={entry.name}
      className={cx(styles.item, entry.isDanger && styles.danger)}
      isDisabled={entry.isDisabled ?? false}
      onAction={() => {
        onClose();
        entry.onAction?.();
      }}
    >
      <span className={styles.icon}>
        {entry.icon && <Icon name={entry.icon} />}
        {entry.isCurrent && <Icon name="check" />}
      </span>
      <span className="clip grow narrow">{entry.name}</span>
      {entry.tag && <span className="badge rigid">{entry.tag}</span>}
    </MenuItem>
  );
}
