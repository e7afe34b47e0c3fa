import type { MapDraft } from '../../../build/index.ts';
import { SelectField } from '../../../widgets/index.ts';
import styles from '../maps.module.css';
import { commonReferences, matchingReference } from '../model/references.ts';
import type { MapEdit } from '../useMapEdit.ts';
import { MapQuantity } from './MapQuantity.tsx';

/** The reference state of the sheet. */
export function ReferenceFields({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  const known = matchingReference(draft.reference);
  const options = [
    { key: 'own', name: known === null ? 'As entered below' : 'Another' },
    ...commonReferences.map(({ key, name }) => ({ key, name })),
  ];
  const choose = (key: string) => {
    const found = commonReferences.find((c) => c.key === key);
    if (found) edit((d) => ({ ...d, reference: found.reference }), 'change reference state', 'reference');
  };
  return (
    <fieldset className={styles.group} data-part="reference">
      <legend>Reference state that flow and speed are corrected to</legend>
      <MapQuantity
        draft={draft}
        edit={edit}
        place="reference.temperature"
        label="Temperature"
        quantity="temperature"
        read={(d) => d.reference.temperature}
        change={(d, temperature) => ({ ...d, reference: { ...d.reference, temperature } })}
      />
      <MapQuantity
        draft={draft}
        edit={edit}
        place="reference.pressure"
        label="Pressure, absolute"
        quantity="pressure-absolute"
        read={(d) => d.reference.pressure}
        change={(d, pressure) => ({ ...d, reference: { ...d.reference, pressure } })}
      />
      <SelectField label="Common on sheets" value={known ?? 'own'} options={options} onChange={choose} />
    </fieldset>
  );
}
