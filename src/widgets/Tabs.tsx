import type { ReactNode } from 'react';
import { Tabs as AriaTabs, Tab, TabList, TabPanel } from 'react-aria-components/Tabs';
import styles from './tabs.module.css';

export interface TabItem<Key extends string> {
  key: Key;
  name: string;
  /** Small figure after the name: how many are inside. */
  count?: number | undefined;
  content: ReactNode;
}

export interface TabsProps<Key extends string> {
  label: string;
  items: readonly TabItem<Key>[];
  selected: Key;
  onSelect: (key: Key) => void;
}

/** Several panels in one place; only the chosen one is in the page. */
export function Tabs<Key extends string>({ label, items, selected, onSelect }: TabsProps<Key>) {
  return (
    <AriaTabs
      className={styles.tabs!}
      selectedKey={selected}
      onSelectionChange={(key) => {
        const chosen = items.find((item) => item.key === key);
        if (chosen) onSelect(chosen.key);
      }}
    >
      <TabList aria-label={label} className={styles.list!}>
        {items.map((item) => (
          <Tab key={item.key} id={item.key} className={styles.tab!}>
            {item.name}
            {item.count !== undefined && <span className={styles.count}>{item.count}</span>}
          </Tab>
        ))}
      </TabList>
      {items.map((item) => (
        <TabPanel key={item.key} id={item.key} className={styles.panel!}>
          {item.content}
        </TabPanel>
      ))}
    </AriaTabs>
  );
}
