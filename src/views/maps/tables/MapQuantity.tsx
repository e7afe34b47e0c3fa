import { useCallback } from 'react';
import type { MapDraft } from '../../../build/index.ts';
import { useFieldDraft } from '../../../store/index.ts';
import type { QuantityKey } from '../../../units/index.ts';
import { QuantityField, type TypedQuantity } from '../../../widgets/index.ts';
import type { MapEdit } from '../useMapEdit.ts';

interface MapQuantityProps {
  draft: MapDraft;
  edit: MapEdit;
  place: string;
  label: string;
  quantity: QuantityKey;
  read: (draft: MapDraft) => TypedQuantity;
  /** Must not depend on anything but its arguments, as `read`. */
  change: (draft: MapDraft, next: TypedQuantity) => MapDraft;
}

/** A quantity that stands on the sheet once. */
export function MapQuantity({ draft, edit, place, label, quantity, read, change }: MapQuantityProps) {
  const [unread, keepUnread] = useFieldDraft(`map.${draft.id}.${place}`);
  // biome-ignore lint/correctness/useExhaustiveDependencies: `read` and `change` depend on nothing but their arguments; the field redraws when its handler changes
  const onChange = useCallback(
    (next: TypedQuantity) =>
      edit(
        (d) => (read(d).text === next.text && read(d).unit === next.unit ? d : change(d, next)),
        `edit ${label.toLowerCase()}`,
        place,
      ),
    [edit, label, place],
  );
  return (
    <QuantityField
      label={label}
      value={read(draft)}
      quantity={quantity}
      onChange={onChange}
      allowEmpty
      draft={unread}
      onDraft={keepUnread}
    />
  );
}
