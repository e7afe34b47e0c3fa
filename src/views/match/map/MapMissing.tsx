import { assignMap, isOfKind } from '../../../build/index.ts';
import { type CandidateResults, useActions, useApply, useShelf } from '../../../store/index.ts';
import { Button } from '../../../widgets/index.ts';
import styles from '../match.module.css';

/** In place of the map: why there is none, in words, and the way to mend it. */
export function MapMissing({ results }: { results: CandidateResults }) {
  const { setUi } = useActions();
  const { map, donor } = results.candidate;
  if (map === null && donor !== null) {
    return (
      <div className={styles.noMap}>
        <h3>The donor map cannot be scaled yet</h3>
        <p>{results.problems[0]?.message ?? `“${donor.name}” gives no map for this wheel.`}</p>
        <Button variant="primary" onPress={() => setUi({ openCardId: results.candidate.id })}>
          Open the card
        </Button>
      </div>
    );
  }
  if (map === null) {
    return (
      <div className={styles.noMap}>
        <h3>No map yet</h3>
        <ShelfChoice candidateId={results.candidate.id} />
        <p>A new map is typed or pasted from the maker's sheet in the Maps view.</p>
        <Button onPress={() => setUi({ view: 'maps' })}>Go to the maps</Button>
        <p className={styles.borrow}>Nobody publishes one? Measure the wheel and borrow the map of a similar one.</p>
        <Button onPress={() => setUi({ openCardId: results.candidate.id })}>Measure, and borrow a donor map</Button>
      </div>
    );
  }
  const errors = results.mapProblems.filter(({ severity }) => severity === 'error');
  return (
    <div className={styles.noMap}>
      <h3>This map cannot be used yet</h3>
      <p>“{map.name}” is kept as entered. This stands in the way:</p>
      <ul>
        {errors.slice(0, 6).map(({ code, message }) => (
          <li key={`${code}-${message}`}>{message}</li>
        ))}
        {errors.length > 6 && <li>and {errors.length - 6} more, listed in the Maps view.</li>}
      </ul>
      <Button variant="primary" onPress={() => setUi({ view: 'maps', openMapId: map.id })}>
        Open this map
      </Button>
    </div>
  );
}

/** The maps of the shelf, one press each. */
function ShelfChoice({ candidateId }: { candidateId: string }) {
  const shelf = useShelf().filter(isOfKind('compressor'));
  const apply = useApply();
  if (shelf.length === 0) return <p>No compressor map is on your shelf so far.</p>;
  return (
    <>
      <p>Choose one from your shelf:</p>
      <ul className={styles.shelf}>
        {shelf.map(({ id, name }) => (
          <li key={id}>
            <Button onPress={() => apply(assignMap(candidateId, id))}>{name.trim() || 'Map without a name'}</Button>
          </li>
        ))}
      </ul>
    </>
  );
}
