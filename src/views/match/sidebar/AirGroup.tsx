import { useBuildField } from '../../../store/index.ts';
import { BoundChoice } from '../../shared/BoundChoice.tsx';
import { BoundQuantity } from '../../shared/BoundQuantity.tsx';
import { airSummary } from '../model/inputSummaries.ts';
import { AirReadings } from './AirReadings.tsx';
import { AltitudeSlider } from './AltitudeSlider.tsx';
import { InputGroup } from './InputGroup.tsx';

const BAROMETERS = [
  { key: 'standard', name: 'Standard atmosphere' },
  { key: 'read-on-site', name: 'Barometer read on site' },
  { key: 'weather-report', name: 'Weather report (sea level)' },
] as const;

/** The place and its air, altitude first: that is what the customer asks about. What comes of it stands right beneath. */
export function AirGroup() {
  return (
    <InputGroup title="Place and air" summary={airSummary} openAtFirst>
      <BoundQuantity label="Altitude" path="air.altitude" />
      <AltitudeSlider />
      <BoundChoice stacked label="Pressure from" path="air.barometer.kind" options={BAROMETERS} />
      <BarometerField />
      <BoundQuantity label="Air temperature" path="air.temperature" />
      <BoundQuantity label="Relative humidity" path="air.relativeHumidity" />
      <AirReadings />
    </InputGroup>
  );
}

function BarometerField() {
  const kind = useBuildField('air.barometer.kind');
  if (kind === 'standard') return null;
  return (
    <BoundQuantity
      label={kind === 'read-on-site' ? 'Pressure on site' : 'Reported pressure'}
      path="air.barometer.pressure"
    />
  );
}
