import { LimitFields } from '../../shared/LimitFields.tsx';
import { limitsSummary } from '../model/inputSummaries.ts';
import { InputGroup } from './InputGroup.tsx';

/** What the shop keeps in hand. */
export function LimitsGroup() {
  return (
    <InputGroup title="Limits" summary={limitsSummary}>
      <LimitFields />
    </InputGroup>
  );
}
