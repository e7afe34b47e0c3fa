import { changeFuel } from '../../../build/index.ts';
import { useApply, useBuildField } from '../../../store/index.ts';
import { SelectField } from '../../../widgets/index.ts';
import { BoundChoice } from '../../shared/BoundChoice.tsx';
import { BoundQuantity } from '../../shared/BoundQuantity.tsx';
import { engineSummary } from '../model/inputSummaries.ts';
import { EngineCurves } from './EngineCurves.tsx';
import { InputGroup } from './InputGroup.tsx';

const FUELS = [
  { key: 'petrol', name: 'Petrol' },
  { key: 'e10', name: 'Petrol E10' },
  { key: 'e85', name: 'E85' },
  { key: 'ethanol', name: 'Ethanol' },
  { key: 'methanol', name: 'Methanol' },
  { key: 'diesel', name: 'Diesel' },
  { key: 'natural-gas', name: 'Natural gas' },
] as const;

const INJECTION = [
  { key: 'direct', name: 'Direct, into the cylinder' },
  { key: 'port', name: 'Port, ahead of the valve' },
] as const;

const STROKES = [
  { key: 4, name: 'Four-stroke' },
  { key: 2, name: 'Two-stroke' },
] as const;

/** The fuel; another one takes the consumption with it, which has to be said where it is chosen. */
function FuelChoice() {
  const fuel = useBuildField('engine.fuel');
  const apply = useApply();
  return (
    <SelectField
      label="Fuel"
      value={fuel}
      options={FUELS}
      help="Another fuel scales the bsfc curve by heating value: the same share of the heat becomes work."
      onChange={(chosen) => apply(changeFuel(chosen))}
    />
  );
}

/** The engine as a breathing and burning machine. */
export function EngineGroup() {
  return (
    <InputGroup title="Engine" summary={engineSummary}>
      <BoundQuantity label="Displacement" path="engine.displacement" />
      <BoundQuantity label="Cylinders" path="engine.cylinders" />
      <BoundChoice label="Working cycle" path="engine.strokesPerCycle" options={STROKES} />
      <BoundQuantity label="Compression ratio" path="engine.compressionRatio" />
      <BoundChoice stacked label="Injection" path="engine.injection" options={INJECTION} />
      <FuelChoice />
      <BoundQuantity label="Driveline loss" path="engine.drivelineLoss" />
      <EngineCurves />
    </InputGroup>
  );
}
