import { memo, useRef } from 'react';
import { type Build, type MapDraft, renameMap } from '../../../build/index.ts';
import { useActions } from '../../../store/index.ts';
import styles from '../maps.module.css';
import { shelfFacts } from '../model/shelfFacts.ts';

export interface ShelfEntryProps {
  map: MapDraft;
  builds: readonly Build[];
  isOpen: boolean;
  isRenaming: boolean;
  onOpen: () => void;
  onRename: () => void;
  onRenamed: () => void;
}

/** One map of the list with its small print; a double click or F2 renames it. */
export const ShelfEntry = memo(function ShelfEntry({ map, builds, isOpen, isRenaming, ...on }: ShelfEntryProps) {
  const { run } = useActions();
  const given = useRef(false);
  const facts = shelfFacts(map, builds);
  if (isRenaming) {
    const finish = (name: string | null) => {
      // Escape and Enter both end in a blur.
      if (given.current) return;
      given.current = true;
      if (name !== null) run(renameMap(map.id, name));
      on.onRenamed();
    };
    return (
      <li>
        <input
          className={styles.rename}
          aria-label={`New name of '${map.name}'`}
          defaultValue={map.name}
          // biome-ignore lint/a11y/noAutofocus: the user asked to type here
          autoFocus
          onFocus={(event) => {
            given.current = false;
            event.target.select();
          }}
          onBlur={(event) => finish(event.target.value)}
          onKeyDown={(event) => {
            if (event.key === 'Enter') finish(event.currentTarget.value);
            if (event.key === 'Escape') finish(null);
          }}
        />
      </li>
    );
  }
  return (
    <li>
      <button
        type="button"
        className={styles.entry}
        aria-current={isOpen}
        onClick={on.onOpen}
        onDoubleClick={on.onRename}
        onKeyDown={(event) => event.key === 'F2' && on.onRename()}
      >
        <span className={styles.entryName}>{map.name}</span>
        <span className={styles.entryFacts}>{facts.summary}</span>
        {facts.limit !== '' && <span className={styles.entryFacts}>{facts.limit}</span>}
        <span className={styles.entryFacts}>
          {facts.kind}
          {facts.invented && <em className={styles.invented}>invented</em>}
        </span>
        {facts.usedIn.length > 0 && (
          <span className={styles.entryFacts} title={facts.usedIn.join(', ')}>
            {facts.usedIn.length === 1 ? `in ${facts.usedIn[0]}` : `in ${facts.usedIn.length} builds`}
          </span>
        )}
      </button>
    </li>
  );
});
