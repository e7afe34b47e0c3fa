import { Disclosure } from '../../../widgets/index.ts';
import { BoundQuantity } from '../../shared/BoundQuantity.tsx';
import styles from '../altitude.module.css';
import { toleranceName } from '../model/spreadCharts.ts';

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

/** How far off each input may be. */
export function SpreadGroup() {
  return (
    <Disclosure title="Tolerances" summary="for the spread">
      <p className={styles.note}>
        Half widths: 19 of 20 values lie within. Efficiencies are in points of efficiency, the others in per cent of the
        value. 0 is exactly known. The first figures are common practice; enter your own.
      </p>
      {KEYS.map((key) => (
        <BoundQuantity key={key} label={`± ${toleranceName(key)}`} path={`spread.tolerances.${key}`} />
      ))}
      <BoundQuantity label="Samples" path="spread.samples" />
      <BoundQuantity label="Seed" path="spread.seed" help="The same seed gives the same numbers." />
    </Disclosure>
  );
}
