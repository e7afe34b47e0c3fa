import { useState } from 'react';
import { type MapDraft, renameMap } from '../../../build/index.ts';
import { useApply } from '../../../store/index.ts';
import { TextLine } from '../../../widgets/index.ts';
import styles from '../maps.module.css';
import type { MapEdit } from '../useMapEdit.ts';

/** Name and source. */
export function SheetNames({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  const apply = useApply();
  const [typed, setTyped] = useState<{ id: string; text: string } | null>(null);
  const name = typed?.id === draft.id ? typed.text : draft.name;
  return (
    <div className={styles.group}>
      <TextLine
        label="Name"
        value={name}
        onChange={(text, { transient }) => {
          // A name is taken when it is finished: while it is typed, every letter would have to be unique on the shelf.
          setTyped(transient ? { id: draft.id, text } : null);
          if (!transient) apply(renameMap(draft.id, text));
        }}
      />
      <TextLine
        label="Read by whom, from what, when"
        value={draft.source}
        rows={2}
        onChange={(source) => edit((d) => (d.source === source ? d : { ...d, source }), 'edit source', 'source')}
      />
    </div>
  );
}
