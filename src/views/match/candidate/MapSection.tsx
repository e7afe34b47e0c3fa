import { assignDonor, assignMap, type Candidate, isOfKind } from '../../../build/index.ts';
import type { RankedDonor } from '../../../compressor/index.ts';
import { selectCandidateResults, selectDonors, useApply, useLugline, useShelf } from '../../../store/index.ts';
import { Button, SelectField } from '../../../widgets/index.ts';
import { isEstimated } from '../../shared/provenance.ts';
import { EstimateTag } from '../results/signs.tsx';
import styles from './card.module.css';
import { bandWords, LIKENESS_WORDS } from './cardWords.ts';

const NO_MAP = '';

/** The map that the candidate is computed on: its own, or a donor's scaled to its measured wheel. */
export function MapSection({ candidate, index }: { candidate: Candidate; index: number }) {
  const apply = useApply();
  const shelf = useShelf().filter(isOfKind('compressor'));
  const { map } = candidate;
  const gone = map !== null && !shelf.some(({ id }) => id === map.id) ? [map] : [];
  const options = [
    { key: NO_MAP, name: 'None: borrow a donor map' },
    ...[...shelf, ...gone].map(({ id, name }) => ({ key: id, name: name.trim() || 'Map without a name' })),
  ];
  return (
    <section className={styles.section} aria-label="Map">
      <h3 className={styles.title}>Map {isEstimated(candidate) && <EstimateTag />}</h3>
      <SelectField
        stacked
        label="Its own map"
        value={map?.id ?? NO_MAP}
        options={options}
        onChange={(id) => apply(assignMap(candidate.id, id === NO_MAP ? null : id))}
      />
      {map === null && <Donors candidate={candidate} index={index} />}
    </section>
  );
}

function Donors({ candidate, index }: { candidate: Candidate; index: number }) {
  const donors = useLugline((state) => selectDonors(state, index));
  const hasExducer = candidate.wheels.compressor.exducer.text.trim() !== '';
  return (
    <>
      <p className={styles.hint}>
        Nobody publishes a map for it? Lugline scales the map of a similar wheel to the one measured here, at equal tip
        speed. It is an estimate, and says so wherever its numbers stand.
      </p>
      {donors.length === 0 && (
        <p className={styles.doubt} role="status">
          {hasExducer
            ? 'No map on the shelf can be scaled: enter the wheel diameters of a map in the Maps view.'
            : 'Measure the exducer of the compressor wheel first: without it nothing can be scaled.'}
        </p>
      )}
      <ul className={styles.donors} aria-label="Donor maps, the likest first">
        {donors.map((donor) => (
          <Donor key={donor.id} donor={donor} candidate={candidate} />
        ))}
      </ul>
      {candidate.donor !== null && <DonorState candidate={candidate} index={index} />}
    </>
  );
}

function Donor({ donor, candidate }: { donor: RankedDonor; candidate: Candidate }) {
  const apply = useApply();
  const isTaken = candidate.donor?.id === donor.id;
  return (
    <li className={styles.donor} data-taken={isTaken || undefined}>
      <span>
        <b>{donor.name}</b>
        <span className={styles.likeness}>{LIKENESS_WORDS[donor.likeness]}</span>
        <span className={styles.reason}>{donor.reason}</span>
      </span>
      <Button
        label={isTaken ? `Give ${donor.name} back` : `Borrow ${donor.name}`}
        onPress={() => apply(assignDonor(candidate.id, isTaken ? null : donor.id))}
      >
        {isTaken ? 'Give back' : 'Borrow'}
      </Button>
    </li>
  );
}

/** What the estimate is worth, or why there is none. */
function DonorState({ candidate, index }: { candidate: Candidate; index: number }) {
  const surface = useLugline((state) => selectCandidateResults(state, index)?.surface ?? null);
  const problem = useLugline((state) => selectCandidateResults(state, index)?.problems[0]?.message ?? null);
  const estimate = surface?.estimate;
  if (estimate === undefined) {
    return (
      <p className={styles.doubt} role="status">
        {problem ?? `The map “${candidate.donor?.name ?? ''}” cannot be scaled.`}
      </p>
    );
  }
  return (
    <p className={styles.band} role="status">
      {bandWords(estimate, candidate.donor?.name ?? '')}
    </p>
  );
}
