import { useBuildField } from '../../../store/index.ts';
import { BoundChoice } from '../../shared/BoundChoice.tsx';
import { BoundQuantity } from '../../shared/BoundQuantity.tsx';
import { BoundSwitch } from '../../shared/BoundSwitch.tsx';
import { fuelSupplySummary } from '../model/inputSummaries.ts';
import { InputGroup } from './InputGroup.tsx';

const REFERENCES = [
  { key: 'manifold', name: 'Over manifold pressure' },
  { key: 'ambient', name: 'Over ambient pressure' },
] as const;

/** Injectors and pump, checked only where the shop wants it. */
export function FuelSupplyGroup() {
  const checked = useBuildField('fuelSupply.checked');
  return (
    <InputGroup title="Fuel supply" summary={fuelSupplySummary}>
      <BoundSwitch label="Check injectors and pump" path="fuelSupply.checked" />
      {checked && (
        <>
          <BoundQuantity label="Injectors" path="fuelSupply.injectorCount" />
          <BoundQuantity label="Flow of one injector" path="fuelSupply.injectorFlow" />
          <BoundQuantity label="… rated at" path="fuelSupply.injectorRatedPressure" />
          <BoundQuantity label="Rail pressure" path="fuelSupply.railPressure" />
          <BoundChoice stacked label="Rail pressure is" path="fuelSupply.railReference" options={REFERENCES} />
          <BoundQuantity label="Duty limit" path="fuelSupply.dutyLimit" />
          <BoundQuantity label="Pump flow at that pressure" path="fuelSupply.pumpFlow" />
        </>
      )}
    </InputGroup>
  );
}
