import type { ReactNode } from 'react';
import { Tabs as AriaTabs, Tab, TabList, TabPanel } from 'react-aria-components/Tabs';
import { cx } from './Button.tsx';
import styles from './tabs.module.css';

interface TabItem<Key extends string> {
  key: Key;
  name: string;
  /** After the name: how many are inside, or a sign. */
  mark?: ReactNode;
  /** What the tab shows. */
  content?: ReactNode;
}

/**
 * Several panels in one place; only the chosen one is in the page. Strip and panel stand in the caller's own box, one after the other or as
 * `layout` says.
 */
export function Tabs<Key extends string>(props: {
  label: string;
  items: readonly TabItem<Key>[];
  selected: Key;
  onSelect: (key: Key) => void;
  layout?: (strip: ReactNode, panel: ReactNode) => ReactNode;
  stripClassName?: string | undefined;
  panelClassName?: string | undefined;
}) {
  const { items, selected, onSelect, layout = (strip, panel) => [strip, panel] } = props;
  const strip = (
    <TabList key="strip" aria-label={props.label} className={cx(styles.list, props.stripClassName)}>
      {items.map(({ key, name, mark }) => (
        <Tab key={key} id={key} className={styles.tab!}>
          {name}
          {mark}
        </Tab>
      ))}
    </TabList>
  );
  const panel = (
    <TabPanel key={selected} id={selected} className={cx(props.panelClassName)}>
      {items.find(({ key }) => key === selected)?.content}
    </TabPanel>
  );
  return (
    <AriaTabs
      className={styles.tabs!}
      selectedKey={selected}
      onSelectionChange={(chosen) => {
        const item = items.find(({ key }) => key === chosen);
        if (item) onSelect(item.key);
      }}
    >
      {layout(strip, panel)}
    </AriaTabs>
  );
}
