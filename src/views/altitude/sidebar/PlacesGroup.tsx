import { addPlace, MOST_PLACES } from '../../../build/index.ts';
import { createId, selectActiveBuild, useApply, useLugline } from '../../../store/index.ts';
import { Button, Disclosure } from '../../../widgets/index.ts';
import styles from '../altitude.module.css';
import { PlaceFields } from './PlaceFields.tsx';

/** Places with weather of their own: the pass on a hot day, the coast in winter. */
export function PlacesGroup() {
  const places = useLugline((state) => selectActiveBuild(state).places);
  const apply = useApply();
  return (
    <Disclosure title="Saved places" summary={places.length === 0 ? 'none' : String(places.length)}>
      <p className={styles.note}>Each has its own weather. A new one begins with the air of today.</p>
      {places.map((place) => (
        <PlaceFields key={place.id} place={place} />
      ))}
      <div className={styles.actions}>
        <Button icon="plus" isDisabled={places.length >= MOST_PLACES} onPress={() => apply(addPlace(createId()))}>
          Add a place
        </Button>
      </div>
    </Disclosure>
  );
}
