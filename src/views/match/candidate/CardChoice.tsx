import {
  type Candidate,
  type CardPath,
  type CardValue,
  type Change,
  getCardField,
  setCardField,
} from '../../../build/index.ts';
import { useApply } from '../../../store/index.ts';
import { SelectField } from '../../../widgets/index.ts';

type ChoicePath =
  | 'housing.scroll'
  | 'housing.bearing'
  | 'housing.gate'
  | 'claim.kind'
  | 'turbine.source'
  | 'turbine.entries'
  | 'turbine.efficiency.kind';

/** One of several for a field of the candidate card. */
export function CardChoice<P extends ChoicePath & CardPath>({
  candidate,
  path,
  label,
  options,
  stacked,
  help,
  warning,
  change,
}: {
  candidate: Candidate;
  path: P;
  label: string;
  options: readonly { key: CardValue<P> & string; name: string; isDisabled?: boolean }[];
  /** Label above, for names that are too long beside it. */
  stacked?: boolean | undefined;
  help?: string | undefined;
  warning?: string | null | undefined;
  /** What choosing does; left out: the field is set. */
  change?: ((chosen: CardValue<P> & string) => Change) | undefined;
}) {
  const apply = useApply();
  return (
    <SelectField
      label={label}
      stacked={stacked}
      help={help}
      warning={warning}
      value={getCardField(candidate, path) as CardValue<P> & string}
      options={options}
      onChange={(chosen) => apply(change?.(chosen) ?? setCardField(candidate.id, path, chosen))}
    />
  );
}
