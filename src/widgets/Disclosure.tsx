import { type ReactNode, useId, useState } from 'react';
import { Icon } from './Button.tsx';
import styles from './disclosure.module.css';

interface DisclosureProps {
  title: string;
  /** What stands inside, in a few words, so that a closed section still tells ('2.0 L, petrol, 9.5:1'). */
  summary?: ReactNode;
  children: ReactNode;
  /** Controlled with onToggle, or only the state at first with openAtFirst. */
  isOpen?: boolean | undefined;
  openAtFirst?: boolean | undefined;
  onToggle?: ((isOpen: boolean) => void) | undefined;
  /** Heading level in the page's outline; usually 2. */
  level?: 2 | 3 | undefined;
  id?: string | undefined;
}

/** A section of a sidebar that opens and closes under its title. What is closed is not in the page. */
export function Disclosure(props: DisclosureProps) {
  const [ownOpen, setOwnOpen] = useState(props.openAtFirst ?? false);
  const isOpen = props.isOpen ?? ownOpen;
  const panelId = useId();
  const titleId = useId();
  const Heading = `h${props.level ?? 2}` as const;
  const toggle = () => {
    setOwnOpen(!isOpen);
    props.onToggle?.(!isOpen);
  };
  return (
    <div id={props.id} className={styles.section} data-expanded={isOpen || undefined}>
      <Heading className={styles.heading}>
        <button
          id={titleId}
          type="button"
          className={styles.trigger}
          aria-expanded={isOpen}
          aria-controls={isOpen ? panelId : undefined}
          onClick={toggle}
        >
          <Icon name="chevron" className={styles.chevron} />
          <span className="rigid strong">{props.title}</span>
          {props.summary && <span className="clip grow ui-faint small narrow ui-end">{props.summary}</span>}
        </button>
      </Heading>
      {isOpen && (
        // biome-ignore lint/a11y/useSemanticElements: not a fieldset: it holds whole parts of a page, not one question of a form
        <div id={panelId} role="group" aria-labelledby={titleId} className={styles.body}>
          {props.children}
        </div>
      )}
    </div>
  );
}
