import { useBuildField } from '../../../store/index.ts';
import { BoundChoice } from '../../shared/BoundChoice.tsx';
import { BoundQuantity } from '../../shared/BoundQuantity.tsx';
import { BoundSwitch } from '../../shared/BoundSwitch.tsx';
import { chargePathSummary } from '../model/inputSummaries.ts';
import { InputGroup } from './InputGroup.tsx';

const COOLERS = [
  { key: 'air', name: 'Air to air' },
  { key: 'water', name: 'Air to water' },
  { key: 'none', name: 'No cooler' },
] as const;

/** From the compressor outlet to the manifold. */
export function ChargePathGroup() {
  return (
    <InputGroup title="Charge path and cooler" summary={chargePathSummary}>
      <BoundQuantity label="Pressure loss" path="chargePath.loss" />
      <BoundQuantity label="… at air flow" path="chargePath.atFlow" />
      <BoundQuantity label="… at air density" path="chargePath.atDensity" />
      <BoundChoice label="Charge cooler" path="chargePath.cooler.kind" options={COOLERS} />
      <CoolerFields />
    </InputGroup>
  );
}

function CoolerFields() {
  const kind = useBuildField('chargePath.cooler.kind');
  const falling = useBuildField('chargePath.cooler.falling');
  if (kind === 'none') return null;
  return (
    <>
      <BoundQuantity label="Effectiveness" path="chargePath.cooler.effectiveness" />
      <BoundSwitch label="Falls with flow" path="chargePath.cooler.falling" />
      {falling && (
        <>
          <BoundQuantity label="… entered at flow" path="chargePath.cooler.atLowFlow" />
          <BoundQuantity label="Effectiveness there" path="chargePath.cooler.effectivenessAtHighFlow" />
          <BoundQuantity label="… at high flow" path="chargePath.cooler.atHighFlow" />
        </>
      )}
      {kind === 'air' ? (
        <BoundQuantity label="Air is warmer than ambient by" path="chargePath.cooler.recovery" />
      ) : (
        <BoundQuantity label="Water temperature" path="chargePath.cooler.waterTemperature" />
      )}
    </>
  );
}
