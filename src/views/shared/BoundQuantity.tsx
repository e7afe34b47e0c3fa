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
  /** Keys of the units to offer; all without it. */
  units?: readonly string[];
}

/** A number of the open build in its field: it alone draws again when that number changes. */
export const BoundQuantity = memo(function BoundQuantity({ label, path, help, warning, units }: Props) {
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
      units={units}
      help={help}
      warning={warning}
      draft={draft}
      onDraft={keepDraft}
      onChange={onChange}
    />
  );
});
