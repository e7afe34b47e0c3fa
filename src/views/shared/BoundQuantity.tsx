import { memo, useCallback } from 'react';
import { fieldRules, type NumberPath, setBuildField } from '../../build/index.ts';
import { useApply, useBuildField, useFieldDraft } from '../../store/index.ts';
import { QuantityField, type TypedQuantity } from '../../widgets/index.ts';
import { useFieldPlace } from './useFieldPlace.ts';

interface Props {
  label: string;
  path: NumberPath;
  help?: string;
  warning?: string | null;
}

/** A number of the open build in its field: it alone draws again when that number changes. */
export const BoundQuantity = memo(function BoundQuantity({ label, path, help, warning }: Props) {
  const value = useBuildField(path);
  const apply = useApply();
  const place = useFieldPlace(path);
  const [draft, keepDraft] = useFieldDraft(place);
  const onChange = useCallback((next: TypedQuantity) => apply(setBuildField(path, next)), [apply, path]);
  const { quantity, low, high, optional } = fieldRules[path];
  return (
    <QuantityField
      label={label}
      value={value}
      quantity={quantity}
      min={low}
      max={high}
      allowEmpty={optional === true}
      placeholder={optional ? 'none' : undefined}
      help={help}
      warning={warning}
      draft={draft}
      onDraft={keepDraft}
      onChange={onChange}
    />
  );
});
