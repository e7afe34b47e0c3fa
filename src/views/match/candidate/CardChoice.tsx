import { type Candidate, type CardPath, type CardValue, getCardField, setCardField } from '../../../build/index.ts';
import { useApply } from '../../../store/index.ts';
import { SelectField } from '../../../widgets/index.ts';

type ChoicePath = 'housing.scroll' | 'housing.bearing' | 'housing.gate' | 'claim.kind';

/** One of several for a field of the candidate card. */
export function CardChoice<P extends ChoicePath & CardPath>({
  candidate,
  path,
  label,
  options,
}: {
  candidate: Candidate;
  path: P;
  label: string;
  options: readonly { key: CardValue<P> & string; name: string }[];
}) {
  const apply = useApply();
  return (
    <SelectField
      label={label}
      value={getCardField(candidate, path) as CardValue<P> & string}
      options={options}
      onChange={(chosen) => apply(setCardField(candidate.id, path, chosen))}
    />
  );
}
