import { BoundQuantity } from '../../shared/BoundQuantity.tsx';
import { inletSummary } from '../model/inputSummaries.ts';
import { InputGroup } from './InputGroup.tsx';

/** Filter and duct ahead of the compressor. */
export function InletGroup() {
  return (
    <InputGroup title="Inlet" summary={inletSummary}>
      <BoundQuantity label="Pressure loss" path="inletPath.loss" />
      <BoundQuantity label="… at air flow" path="inletPath.atFlow" />
      <BoundQuantity label="… at air density" path="inletPath.atDensity" />
      <BoundQuantity label="Heating on the way in" path="inletPath.heating" />
    </InputGroup>
  );
}
