import { useCallback } from 'react';
import { type Candidate, type CandidateNumber, candidateRules, setCandidateField } from '../../../build/index.ts';
import { useApply, useFieldDraft } from '../../../store/index.ts';
import { QuantityField, type TypedQuantity } from '../../../widgets/index.ts';
import { useFieldPlace } from '../../shared/useFieldPlace.ts';

/** A number of a candidate in its field. */
export function CandidateQuantity({
  candidate,
  field,
  label,
  placeholder,
  help,
}: {
  candidate: Candidate;
  field: CandidateNumber;
  label: string;
  placeholder: string;
  help?: string | undefined;
}) {
  const apply = useApply();
  const { id } = candidate;
  const [draft, keepDraft] = useFieldDraft(useFieldPlace(`candidate/${id}/${field}`));
  const onChange = useCallback((next: TypedQuantity) => apply(setCandidateField(id, field, next)), [apply, id, field]);
  const { quantity, low, high } = candidateRules[field];
  return (
    <QuantityField
      label={label}
      value={candidate[field]}
      quantity={quantity}
      min={low}
      max={high}
      allowEmpty
      placeholder={placeholder}
      help={help}
      draft={draft}
      onDraft={keepDraft}
      onChange={onChange}
    />
  );
}
