import { type Candidate, getCardField, setCardField } from '../../../build/index.ts';
import { useApply } from '../../../store/index.ts';
import { SwitchField } from '../../../widgets/index.ts';

/** On or off for a field of the candidate card. */
export function CardSwitch({
  candidate,
  path,
  label,
  help,
}: {
  candidate: Candidate;
  path: 'turbine.includesBearing';
  label: string;
  help?: string | undefined;
}) {
  const apply = useApply();
  return (
    <SwitchField
      label={label}
      help={help}
      value={getCardField(candidate, path)}
      onChange={(on) => apply(setCardField(candidate.id, path, on))}
    />
  );
}
