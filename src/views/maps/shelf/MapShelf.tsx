import { useRef, useState } from 'react';
import { addMap, deleteMap, duplicateMap, type MapDraft, putMapOnShelf } from '../../../build/index.ts';
import { createId, selectBuilds, selectUndoLabel, useActions, useLugline, useShelf } from '../../../store/index.ts';
import { Button, IconButton } from '../../../widgets/index.ts';
import styles from '../maps.module.css';
import { ShelfEntry } from './ShelfEntry.tsx';
import { useMapFiles } from './useMapFiles.ts';

/** The maps kept on this machine: open, add, duplicate, rename, delete with undo, files. */
export function MapShelf({ openId, onAdded }: { openId: string | null; onAdded: () => void }) {
  const shelf = useShelf();
  const builds = useLugline(selectBuilds);
  const { run, undo, setUi } = useActions();
  const files = useMapFiles();
  const chooser = useRef<HTMLInputElement>(null);
  const [deleted, setDeleted] = useState<string | null>(null);
  // Undo takes back the last step, whatever it was: offered only while that is the deletion.
  const canUndo = useLugline(selectUndoLabel) === 'delete map';
  const [renaming, setRenaming] = useState<string | null>(null);
  const open = shelf.find((map) => map.id === openId) ?? null;

  const add = () => {
    const id = createId();
    run(addMap(id));
    setUi({ openMapId: id });
    onAdded();
  };
  const duplicate = (map: MapDraft) => {
    const id = createId();
    run(duplicateMap(map.id, id));
    setUi({ openMapId: id });
  };
  const remove = (map: MapDraft) => {
    const at = shelf.indexOf(map);
    run(deleteMap(map.id));
    setUi({ openMapId: (shelf[at + 1] ?? shelf[at - 1])?.id ?? null });
    setDeleted(map.name);
    files.setNotice(null);
  };
  return (
    <nav className={styles.shelf} aria-label="Shelf of maps">
      <div className={styles.shelfHead}>
        <h2>Shelf</h2>
        <Button icon="plus" onPress={add}>
          New map
        </Button>
      </div>
      {shelf.length === 0 && <p className={styles.lead}>No map is on the shelf. Add one, or open a map file.</p>}
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
          <div className={styles.shelfTools}>
            <IconButton icon="pencil" label={`Rename '${open.name}'`} onPress={() => setRenaming(open.id)} />
            <IconButton icon="copy" label={`Duplicate '${open.name}'`} onPress={() => duplicate(open)} />
            <IconButton icon="save" label={`Save '${open.name}' as a map file`} onPress={() => files.save(open)} />
            <IconButton icon="trash" label={`Delete '${open.name}' from the shelf`} onPress={() => remove(open)} />
          </div>
        )}
        <Button variant="quiet" icon="open" onPress={() => chooser.current?.click()}>
          Open a map file
        </Button>
        <input
          ref={chooser}
          type="file"
          accept=".json,application/json"
          multiple
          hidden
          aria-label="Map files"
          onChange={async (event) => {
            const chosen = [...(event.target.files ?? [])];
            // Emptied, so that the same file can be chosen again.
            event.target.value = '';
            setDeleted(null);
            for (const file of chosen) await files.read(file);
          }}
        />
        <div role="status" className={styles.shelfNotice}>
          {deleted !== null && canUndo && (
            <p>
              '{deleted}' is off the shelf; builds that use it keep it.{' '}
              <Button
                variant="quiet"
                icon="undo"
                onPress={() => {
                  undo();
                  setDeleted(null);
                }}
              >
                Undo
              </Button>
            </p>
          )}
          {files.notice !== null && (
            <p className={files.notice.isProblem ? styles.error : undefined}>{files.notice.text}</p>
          )}
        </div>
      </div>
    </nav>
  );
}

/** Maps that were taken off the shelf while a build still uses them. */
function InBuildsOnly() {
  const builds = useLugline(selectBuilds);
  const shelf = useShelf();
  const { run, setUi } = useActions();
  const shelved = new Set(shelf.map((map) => map.id));
  const maps = new Map<string, MapDraft>();
  for (const { candidates } of builds) {
    for (const { map } of candidates) if (map !== null && !shelved.has(map.id)) maps.set(map.id, map);
  }
  if (maps.size === 0) return null;
  return (
    <section className={styles.shelfFoot} aria-label="Maps in builds only">
      <h3 className={styles.shelfHeading}>In builds only</h3>
      {[...maps.values()].map((map) => (
        <div key={map.id} className={styles.offShelf}>
          <span>{map.name}</span>
          <Button
            variant="quiet"
            label={`Put '${map.name}' back on the shelf`}
            onPress={() => {
              run(putMapOnShelf(map.id));
              setUi({ openMapId: map.id });
            }}
          >
            Put back
          </Button>
        </div>
      ))}
    </section>
  );
}
