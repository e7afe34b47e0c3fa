import type { Candidate } from '../../../build/index.ts';
import { CandidateQuantity } from '../sidebar/CandidateQuantity.tsx';
import { CardChoice } from './CardChoice.tsx';
import { CardField } from './CardField.tsx';
import styles from './card.module.css';

const SCROLLS = [
  { key: 'unknown', name: 'Not noted' },
  { key: 'single', name: 'Single' },
  { key: 'twin', name: 'Twin' },
] as const;

const BEARINGS = [
  { key: 'unknown', name: 'Not noted' },
  { key: 'journal', name: 'Journal' },
  { key: 'ball', name: 'Ball' },
] as const;

const GATES = [
  { key: 'unknown', name: 'Not noted' },
  { key: 'internal', name: 'Internal' },
  { key: 'external', name: 'External' },
  { key: 'variable-vanes', name: 'Variable vanes' },
  { key: 'none', name: 'None' },
] as const;

/** Housings, bearing, gate and the maker's speed. */
export function HousingSection({ candidate }: { candidate: Candidate }) {
  const limitOfMap = candidate.map?.limits.shaftSpeed.text.trim() ?? '';
  return (
    <section className={styles.section} aria-label="Housing and bearing">
      <h3 className={styles.title}>Housing and bearing</h3>
      <CandidateQuantity
        candidate={candidate}
        field="shaftSpeedLimit"
        label="Rated shaft speed"
        placeholder={limitOfMap === '' ? 'none' : limitOfMap}
        help={
          limitOfMap !== '' && candidate.shaftSpeedLimit.text.trim() === ''
            ? 'Empty: the limit of the map holds.'
            : undefined
        }
      />
      <CardField candidate={candidate} path="housing.compressorAreaRadius" label="Compressor A/R" placeholder="none" />
      <CardField candidate={candidate} path="housing.turbineAreaRadius" label="Turbine A/R" placeholder="none" />
      <CardChoice candidate={candidate} path="housing.scroll" label="Turbine scroll" options={SCROLLS} />
      <CardChoice candidate={candidate} path="housing.bearing" label="Bearing" options={BEARINGS} />
      <CardChoice candidate={candidate} path="housing.gate" label="Gate" options={GATES} />
    </section>
  );
}
