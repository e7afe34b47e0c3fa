import { BoundQuantity } from '../../shared/BoundQuantity.tsx';
import { engineSpeedsSummary } from '../model/inputSummaries.ts';
import { InputGroup } from './InputGroup.tsx';

/** The engine speeds that are computed. */
export function EngineSpeedsGroup() {
  return (
    <InputGroup title="Engine speeds" summary={engineSpeedsSummary}>
      <BoundQuantity label="From" path="engineSpeeds.from" />
      <BoundQuantity label="To" path="engineSpeeds.to" />
      <BoundQuantity label="In steps of" path="engineSpeeds.step" />
    </InputGroup>
  );
}
