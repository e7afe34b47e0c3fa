import type { ReactNode } from 'react';
import { Button } from 'react-aria-components/Button';
import { Disclosure as AriaDisclosure, DisclosurePanel } from 'react-aria-components/Disclosure';
import { Heading } from 'react-aria-components/Heading';
import styles from './disclosure.module.css';
import { Icon } from './Icon.tsx';

export interface DisclosureProps {
  title: string;
  /** What stands inside, in a few words, so that a closed section still tells ('2.0 L, petrol, 9.5:1'). */
  summary?: ReactNode;
  children: ReactNode;
  /** Controlled with onToggle, or only the state at first with openAtFirst. */
  isOpen?: boolean | undefined;
  openAtFirst?: boolean | undefined;
  onToggle?: ((isOpen: boolean) => void) | undefined;
  /** Heading level in the page's outline. */
  level?: 2 | 3 | 4 | undefined;
  id?: string | undefined;
}

/** A section of a sidebar that opens and closes under its title. */
export function Disclosure(props: DisclosureProps) {
  const { isOpen, onToggle } = props;
  return (
    <AriaDisclosure
      className={styles.section!}
      defaultExpanded={props.openAtFirst ?? false}
      {...(isOpen !== undefined && { isExpanded: isOpen })}
      {...(onToggle && { onExpandedChange: onToggle })}
      {...(props.id !== undefined && { id: props.id })}
    >
      <Heading level={props.level ?? 3} className={styles.heading!}>
        <Button slot="trigger" className={styles.trigger!}>
          <Icon name="chevron" className={styles.chevron} />
          <span className={styles.title}>{props.title}</span>
          {props.summary && <span className={styles.summary}>{props.summary}</span>}
        </Button>
      </Heading>
      <DisclosurePanel className={styles.panel!}>
        <div className={styles.body}>{props.children}</div>
      </DisclosurePanel>
    </AriaDisclosure>
  );
}
