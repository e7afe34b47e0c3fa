import { BoundQuantity } from '../../shared/BoundQuantity.tsx';
import { limitsSummary } from '../model/inputSummaries.ts';
import { InputGroup } from './InputGroup.tsx';

/** What the shop keeps in hand. An empty field is no limit. */
export function LimitsGroup() {
  return (
    <InputGroup title="Limits" summary={limitsSummary}>
      <BoundQuantity label="Shaft speed reserve" path="limits.shaftSpeedReserve" />
      <BoundQuantity label="Least surge margin" path="limits.surgeMargin" />
      <BoundQuantity label="Least choke margin" path="limits.chokeMargin" />
      <BoundQuantity label="Compressor outlet temp." path="limits.compressorOutletTemperature" />
      <BoundQuantity label="Manifold pressure, absolute" path="limits.manifoldPressure" />
      <BoundQuantity label="Power at the crankshaft" path="limits.brakePower" />
    </InputGroup>
  );
}
