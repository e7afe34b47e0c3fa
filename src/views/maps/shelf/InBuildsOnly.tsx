import { type MapDraft, mapsOf, putMapOnShelf } from '../../../build/index.ts';
import { selectBuilds, useActions, useLugline, useShelf } from '../../../store/index.ts';
import { Button } from '../../../widgets/index.ts';
import styles from '../maps.module.css';

/** Maps that were taken off the shelf while a build still uses them. */
export function InBuildsOnly() {
  const builds = useLugline(selectBuilds);
  const shelf = useShelf();
  const { run, setUi } = useActions();
  const shelved = new Set(shelf.map((map) => map.id));
  const maps = new Map<string, MapDraft>();
  for (const { candidates } of builds) {
    for (const map of candidates.flatMap(mapsOf)) if (!shelved.has(map.id)) maps.set(map.id, map);
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
