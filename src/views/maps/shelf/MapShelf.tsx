import { useState } from 'react';
import { addMap, addTurbineSheet, deleteMap, duplicateMap, type MapDraft } from '../../../build/index.ts';
import { createId, selectBuilds, selectUndoLabel, useActions, useLugline, useShelf } from '../../../store/index.ts';
import { Button } from '../../../widgets/index.ts';
import styles from '../maps.module.css';
import { InBuildsOnly } from './InBuildsOnly.tsx';
import { ShelfEntry } from './ShelfEntry.tsx';
import { DeletedNotice, FileChooser, ShelfTools } from './ShelfTools.tsx';
import { useMapFiles } from './useMapFiles.ts';

/** The compressor maps and turbine sheets kept on this machine: open, add, duplicate, rename, delete with undo, files. */
export function MapShelf({ openId, onAdded }: { openId: string | null; onAdded: () => void }) {
  const builds = useLugline(selectBuilds);
  const { setUi } = useActions();
  const [renaming, setRenaming] = useState<string | null>(null);
  const { shelf, files, ...on } = useShelfActions(onAdded);
  const open = shelf.find((map) => map.id === openId) ?? null;
  return (
    <nav className={styles.shelf} aria-label="Shelf of maps">
      <div className={styles.shelfHead}>
        <h2>Shelf</h2>
      </div>
      <div className={styles.shelfNew}>
        <Button icon="plus" onPress={() => on.add(addMap)}>
          New map
        </Button>
        <Button icon="plus" onPress={() => on.add(addTurbineSheet)}>
          New turbine sheet
        </Button>
      </div>
      {shelf.length === 0 && (
        <p className={styles.lead}>Nothing is on the shelf. Add a map or a turbine sheet, or open a file.</p>
      )}
      <ul className={styles.shelfList}>
        {shelf.map((map) => (
          <ShelfEntry
            key={map.id}
            map={map}
            builds={builds}
            isOpen={map.id === openId}
            isRenaming={map.id === renaming}
            onOpen={() => setUi({ openMapId: map.id })}
            onRename={() => setRenaming(map.id)}
            onRenamed={() => setRenaming(null)}
          />
        ))}
      </ul>
      <InBuildsOnly />
      <div className={styles.shelfFoot}>
        {open !== null && (
          <ShelfTools
            map={open}
            onRename={() => setRenaming(open.id)}
            onDuplicate={() => on.duplicate(open)}
            onSave={() => files.save(open)}
            onDelete={() => on.remove(open)}
          />
        )}
        <FileChooser onFiles={on.read} />
        <div role="status" className={styles.shelfNotice}>
          {on.deleted !== null && <DeletedNotice name={on.deleted} onUndo={on.undelete} />}
          {files.notice !== null && (
            <p className={files.notice.isProblem ? styles.error : undefined}>{files.notice.text}</p>
          )}
        </div>
      </div>
    </nav>
  );
}

function useShelfActions(onAdded: () => void) {
  const shelf = useShelf();
  const { run, undo, setUi } = useActions();
  const files = useMapFiles();
  const [deleted, setDeleted] = useState<string | null>(null);
  // Undo takes back the last step, whatever it was: offered only while that is the deletion.
  const canUndo = useLugline(selectUndoLabel) === 'delete map';
  return {
    shelf,
    files,
    deleted: canUndo ? deleted : null,
    add: (command: typeof addMap) => {
      const id = createId();
      run(command(id));
      setUi({ openMapId: id });
      onAdded();
    },
    duplicate: (map: MapDraft) => {
      const id = createId();
      run(duplicateMap(map.id, id));
      setUi({ openMapId: id });
    },
    remove: (map: MapDraft) => {
      const at = shelf.indexOf(map);
      run(deleteMap(map.id));
      setUi({ openMapId: (shelf[at + 1] ?? shelf[at - 1])?.id ?? null });
      setDeleted(map.name);
      files.setNotice(null);
    },
    undelete: () => {
      undo();
      setDeleted(null);
    },
    read: async (chosen: File[]) => {
      setDeleted(null);
      for (const file of chosen) await files.read(file);
    },
  };
}
