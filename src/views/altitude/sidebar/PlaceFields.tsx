import { useCallback } from 'react';
import { type PlaceNumber, placeRules, removePlace, type SavedPlace, setPlaceField } from '../../../build/index.ts';
import { useApply, useFieldDraft } from '../../../store/index.ts';
import {
  Button,
  Disclosure,
  QuantityField,
  SelectField,
  TextLine,
  type TypedQuantity,
} from '../../../widgets/index.ts';
import { useFieldPlace } from '../../shared/useFieldPlace.ts';
import styles from '../altitude.module.css';

const BAROMETERS = [
  { key: 'standard', name: 'Standard atmosphere' },
  { key: 'read-on-site', name: 'Barometer read on site' },
  { key: 'weather-report', name: 'Weather report (sea level)' },
] as const;

/** One saved place: its name, its altitude and its air. */
export function PlaceFields({ place }: { place: SavedPlace }) {
  const apply = useApply();
  const { kind, pressure } = place.barometer;
  const name = place.name.trim() === '' ? 'Place without a name' : place.name;
  return (
    <Disclosure title={name} summary={place.altitude.text} level={4}>
      <TextLine label="Name" value={place.name} onChange={(text) => apply(setPlaceField(place.id, 'name', text))} />
      <PlaceQuantity place={place} field="altitude" label="Altitude" />
      <SelectField
        stacked
        label="Pressure from"
        value={kind}
        options={BAROMETERS}
        onChange={(key) => apply(setPlaceField(place.id, 'barometer', { kind: key, pressure }))}
      />
      {kind !== 'standard' && (
        <PlaceQuantity
          place={place}
          field="pressure"
          label={kind === 'read-on-site' ? 'Pressure on site' : 'Reported pressure'}
        />
      )}
      <PlaceQuantity place={place} field="temperature" label="Air temperature" />
      <PlaceQuantity place={place} field="relativeHumidity" label="Relative humidity" />
      <div className={styles.actions}>
        <Button variant="quiet" icon="trash" label={`Remove ${name}`} onPress={() => apply(removePlace(place.id))}>
          Remove place
        </Button>
      </div>
    </Disclosure>
  );
}

function PlaceQuantity({ place, field, label }: { place: SavedPlace; field: PlaceNumber; label: string }) {
  const apply = useApply();
  const { id, barometer } = place;
  const [draft, keepDraft] = useFieldDraft(useFieldPlace(`place/${id}/${field}`));
  const { kind } = barometer;
  const onChange = useCallback(
    (next: TypedQuantity) =>
      apply(
        field === 'pressure'
          ? setPlaceField(id, 'barometer', { kind, pressure: next })
          : setPlaceField(id, field, next),
      ),
    [apply, id, field, kind],
  );
  const { quantity, low, high } = placeRules[field];
  return (
    <QuantityField
      label={label}
      value={field === 'pressure' ? barometer.pressure : place[field]}
      quantity={quantity}
      min={low}
      max={high}
      draft={draft}
      onDraft={keepDraft}
      onChange={onChange}
    />
  );
}
