import { selectCandidates, useLugline } from '../../../store/index.ts';
import { Disclosure } from '../../../widgets/index.ts';
import { BoundQuantity } from '../../shared/BoundQuantity.tsx';
import styles from '../altitude.module.css';
import { toleranceName } from '../model/influenceBars.ts';

const KEYS = [
  'volumetricEfficiency',
  'bsfc',
  'lambda',
  'mapFlow',
  'mapPressureRatio',
  'mapEfficiency',
  'coolerEffectiveness',
  'airTemperature',
  'ambientPressure',
  'inletLoss',
  'chargeLoss',
] as const;

const OF_TURBINE = ['turbineCapacity', 'turbineEfficiency', 'turbineInletTemperature', 'exhaustLoss'] as const;

/** How far off each input may be. */
export function SpreadGroup() {
  const hasTurbine = useLugline((state) => selectCandidates(state).some(({ turbine }) => turbine.source !== 'none'));
  return (
    <Disclosure title="Tolerances" summary="for the spread">
      <p className={styles.note}>
        Half widths: 19 of 20 values lie within. Efficiencies are in points of efficiency, temperatures in degrees, the
        others in per cent of the value. 0 is exactly known. The first figures are common practice; enter your own.
      </p>
      {[...KEYS, ...(hasTurbine ? OF_TURBINE : [])].map((key) => (
        <BoundQuantity key={key} label={`± ${toleranceName(key)}`} path={`spread.tolerances.${key}`} />
      ))}
      <BoundQuantity label="Samples" path="spread.samples" />
      <BoundQuantity label="Seed" path="spread.seed" help="The same seed gives the same numbers." />
    </Disclosure>
  );
}
