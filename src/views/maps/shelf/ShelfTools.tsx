import { useRef } from 'react';
import type { MapDraft } from '../../../build/index.ts';
import { Button, IconButton } from '../../../widgets/index.ts';
import styles from '../maps.module.css';

export interface ShelfToolsProps {
  map: MapDraft;
  onRename: () => void;
  onDuplicate: () => void;
  onSave: () => void;
  onDelete: () => void;
}

/** What can be done with the open map. */
export function ShelfTools({ map, onRename, onDuplicate, onSave, onDelete }: ShelfToolsProps) {
  return (
    <div className={styles.shelfTools}>
      <IconButton icon="pencil" label={`Rename '${map.name}'`} onPress={onRename} />
      <IconButton icon="copy" label={`Duplicate '${map.name}'`} onPress={onDuplicate} />
      <IconButton icon="save" label={`Save '${map.name}' as a map file`} onPress={onSave} />
      <IconButton icon="trash" label={`Delete '${map.name}' from the shelf`} onPress={onDelete} />
    </div>
  );
}

export function FileChooser({ onFiles }: { onFiles: (files: File[]) => void }) {
  const input = useRef<HTMLInputElement>(null);
  return (
    <>
      <Button variant="quiet" icon="open" onPress={() => input.current?.click()}>
        Open a map file
      </Button>
      <input
        ref={input}
        type="file"
        accept=".json,application/json"
        multiple
        hidden
        aria-label="Map files"
        onChange={(event) => {
          const chosen = [...(event.target.files ?? [])];
          // Emptied, so that the same file can be chosen again.
          event.target.value = '';
          onFiles(chosen);
        }}
      />
    </>
  );
}

export function DeletedNotice({ name, onUndo }: { name: string; onUndo: () => void }) {
  return (
    <p>
      '{name}' is off the shelf; builds that use it keep it.{' '}
      <Button variant="quiet" icon="undo" onPress={onUndo}>
        Undo
      </Button>
    </p>
  );
}
