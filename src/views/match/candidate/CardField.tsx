import { useCallback } from 'react';
import { type Candidate, type CardNumber, cardRules, getCardField, setCardField } from '../../../build/index.ts';
import { useApply, useFieldDraft } from '../../../store/index.ts';
import { QuantityField, type TypedQuantity } from '../../../widgets/index.ts';
import { useFieldPlace } from '../../shared/useFieldPlace.ts';

interface Props {
  candidate: Candidate;
  path: CardNumber;
  label: string;
  help?: string | undefined;
  warning?: string | null | undefined;
  placeholder?: string | undefined;
}

/** A number of the candidate card in its field. Empty: not measured. */
export function CardField({ candidate, path, label, help, warning, placeholder = 'none' }: Props) {
  const apply = useApply();
  const { id } = candidate;
  const [draft, keepDraft] = useFieldDraft(useFieldPlace(`candidate/${id}/${path}`));
  const onChange = useCallback((next: TypedQuantity) => apply(setCardField(id, path, next)), [apply, id, path]);
  const { quantity, low, high } = cardRules[path];
  return (
    <QuantityField
      label={label}
      value={getCardField(candidate, path)}
      quantity={quantity}
      min={low}
      max={high}
      allowEmpty
      placeholder={placeholder}
      help={help}
      warning={warning}
      draft={draft}
      onDraft={keepDraft}
      onChange={onChange}
    />
  );
}
