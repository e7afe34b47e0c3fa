import { useMemo } from 'react';
import { assignDonor, assignMap, type Candidate, candidateRotor } from '../../../build/index.ts';
import type { RankedDonor } from '../../../compressor/index.ts';
import {
  selectActiveBuild,
  selectCandidateFigures,
  selectCandidateResults,
  selectCandidates,
  selectComparison,
  selectDonors,
  useActions,
  useApply,
  useLugline,
  useSettings,
} from '../../../store/index.ts';
import { formatNumber, formatQuantity, NO_NUMBER } from '../../../units/index.ts';
import { Button, DataTable, Dialog, Sentences } from '../../../widgets/index.ts';
import { type DerivedRow, derivedRows, ratioRows } from '../../shared/derivedRows.ts';
import { candidateLetter, comparedPair, isEstimated, useResultUnits } from '../../shared/display.ts';
import { Field, FieldsOf, SheetChoice } from '../../shared/Field.tsx';
import { EstimateTag } from '../results/signs.tsx';
import { ShaftSpeedLimit } from '../sidebar/CandidateGroup.tsx';
import styles from './card.module.css';
import { bandWords, claimWords, doubtWords, LIKENESS_WORDS } from './cardSentences.ts';
import { TurbineInputs } from './TurbineInputs.tsx';

/** Everything about one turbo that is measured, read or claimed, with what follows from it at once. */
export function CardDialog() {
  const { setUi } = useActions();
  const candidates = useLugline(selectCandidates);
  const id = useLugline((state) => state.ui.openCardId);
  const pair = comparedPair(useSettings(), candidates.length);
  const index = candidates.findIndex((candidate) => candidate.id === id);
  const candidate = candidates[index];
  const close = () => setUi({ openCardId: null });
  if (candidate === undefined) return null;
  const other = otherThan(index, pair);
  return (
    <Dialog
      title={`Card of candidate ${candidateLetter(index)}`}
      size="large"
      onClose={close}
      actions={
        <Button variant="primary" onPress={close}>
          Done
        </Button>
      }
    >
      <div className={styles.card}>
        <div className={styles.column}>
          <Field path="candidate.name" id={candidate.id} stacked />
          <WheelSection candidate={candidate} wheel="compressor" index={index} />
          <WheelSection candidate={candidate} wheel="turbine" index={index} />
        </div>
        <div className={styles.column}>
          <DerivedSection index={index} other={other} />
          <section className={styles.section} aria-label="Notes">
            <Field path="candidate.notes" id={candidate.id} />
          </section>
        </div>
        <div className={styles.column}>
          <MapSection candidate={candidate} index={index} />
          <ClaimSection candidate={candidate} index={index} other={other} />
          <HousingSection candidate={candidate} />
          <TurbineInputs candidate={candidate} index={index} />
          <RotorSection candidate={candidate} index={index} />
        </div>
      </div>
    </Dialog>
  );
}

/** The candidate that this one is held against: the other of the pair, else the first that is not this one; null when it is alone. */
function otherThan(index: number, pair: readonly [number, number] | null): number | null {
  if (pair === null) return null;
  const [first, second] = pair;
  return first === index ? second : first;
}

interface Props {
  candidate: Candidate;
  wheel: 'compressor' | 'turbine';
  index: number;
}

const WHEELS = {
  compressor: {
    title: 'Compressor wheel',
    hint: 'Inducer: the smaller diameter, where the air comes in. Tip height: at the exducer.',
  },
  turbine: {
    title: 'Turbine wheel',
    hint: 'Inducer: the larger diameter, where the exhaust comes in. Tip height: at the inducer.',
  },
} as const;

/** One wheel by calipers. What cannot be true of such a wheel is said where it was typed. */
function WheelSection({ candidate, wheel, index }: Props) {
  const { title, hint } = WHEELS[wheel];
  const figures = useLugline((state) => selectCandidateFigures(state, index)?.[wheel].figures ?? null);
  return (
    <section className={styles.section} aria-label={title}>
      <h3 className={styles.title}>{title}</h3>
      <FieldsOf group={`candidate.wheels.${wheel}`} id={candidate.id} />
      {wheel === 'compressor' && <Field path="candidate.wheels.caliperUncertainty" id={candidate.id} />}
      <p className={styles.hint}>{hint}</p>
      {(figures?.doubts ?? []).map((doubt) => (
        <p key={doubt} className={styles.doubt} role="status">
          {doubtWords(doubt, wheel)}
        </p>
      ))}
    </section>
  );
}

/** What follows from the measurements at once, each number with what the calipers leave open. */
function DerivedSection({ index, other }: { index: number; other: number | null }) {
  const figures = useLugline((state) => selectCandidateFigures(state, index));
  const lengths = useLugline((state) =>
    selectCandidates(state)[index]?.wheels.compressor.exducer.unit === 'in' ? 'in' : 'mm',
  );
  const ratios = useLugline((state) =>
    other === null ? null : (selectComparison(state, other, index, false)?.ratios ?? null),
  );
  const results = useResultUnits();
  const derived = useMemo(
    () => (figures === null ? [] : derivedRows(figures, { lengths, results })),
    [figures, lengths, results],
  );
  const against = useMemo(() => (ratios === null ? [] : ratioRows(ratios)), [ratios]);
  return (
    <section className={styles.section} aria-label="What follows">
      <Rows title="What follows" rows={derived} />
      {other !== null && against.some(isKnown) && (
        <Rows title={`More or less than ${candidateLetter(other)}`} rows={against} />
      )}
      <p className={styles.hint}>
        ± is the most that the calipers leave open. Areas are circles over the tips, hub and blades not taken off: for
        comparing wheels. A speed sensor at the inducer counts full blades only.
      </p>
    </section>
  );
}

const isKnown = ({ compressor, turbine }: DerivedRow) => compressor !== NO_NUMBER || turbine !== NO_NUMBER;

/** What is known of it as a table, and the names of what is not. */
function Rows({ title, rows }: { title: string; rows: readonly DerivedRow[] }) {
  const [known, unknown] = [rows.filter(isKnown), rows.filter((row) => !isKnown(row))];
  return (
    <>
      {known.length === 0 ? (
        <h3 className={styles.title}>{title}</h3>
      ) : (
        <DataTable
          className={styles.table}
          head={[title, 'Compressor', 'Turbine']}
          rows={known.map((row) => ({ key: row.title, name: row.title, cells: [row.compressor, row.turbine] }))}
        />
      )}
      {unknown.length > 0 && (
        <p className={styles.hint}>Not known yet: {unknown.map((row) => row.title.toLowerCase()).join('; ')}.</p>
      )}
    </>
  );
}

/** Housings, bearing, gate and the maker's speed. */
function HousingSection({ candidate }: { candidate: Candidate }) {
  return (
    <section className={styles.section} aria-label="Housing and bearing">
      <h3 className={styles.title}>Housing and bearing</h3>
      <ShaftSpeedLimit candidate={candidate} label="Rated shaft speed" />
      <FieldsOf group="candidate.housing" id={candidate.id} />
    </section>
  );
}

const ROTOR_FIELDS = {
  none: [],
  entered: ['candidate.rotor.inertia'],
  trifilar: ['candidate.rotor.mass', 'candidate.rotor.radius', 'candidate.rotor.length', 'candidate.rotor.period'],
  diameters: [],
} as const;

/** What the rotor's inertia is or comes to: only the spool-up among the differences asks for it. */
function RotorSection({ candidate, index }: { candidate: Candidate; index: number }) {
  const { from } = candidate.rotor;
  const reading = useLugline((state) => candidateRotor(selectActiveBuild(state), index));
  const words =
    from === 'none'
      ? 'Asked for only to compare how two candidates spool up.'
      : reading === null || reading.rotor === null
        ? (reading?.problem ?? '')
        : `${formatQuantity(reading.rotor.inertiaKgM2, 'inertia', 'kg mm2')}, taken as ±${formatNumber(100 * reading.rotor.band, 0)}\u00a0%.`;
  return (
    <section className={styles.section} aria-label="Rotor">
      <h3 className={styles.title}>Rotor</h3>
      <Field path="candidate.rotor.from" id={candidate.id} />
      {ROTOR_FIELDS[from].map((path) => (
        <Field key={path} path={path} id={candidate.id} />
      ))}
      <p className={styles.hint} role="status">
        {words}
      </p>
    </section>
  );
}

/** What the maker or seller says that it gives more, held against what was measured and what the maps give. */
function ClaimSection({ candidate, index, other }: { candidate: Candidate; index: number; other: number | null }) {
  const isClaimed = candidate.claim.kind !== 'none';
  return (
    <section className={styles.section} aria-label="Claim">
      <h3 className={styles.title}>Claim</h3>
      <Field path="candidate.claim.kind" id={candidate.id} />
      {isClaimed && (
        <Field
          path="candidate.claim.gain"
          id={candidate.id}
          {...(other !== null && { label: `… than ${candidateLetter(other)}` })}
        />
      )}
      {isClaimed && other !== null && <Check index={index} other={other} ofPower={candidate.claim.kind === 'power'} />}
      {isClaimed && other === null && (
        <p className={styles.hint}>A claim is checked against another candidate: add one.</p>
      )}
    </section>
  );
}

function Check({ index, other, ofPower }: { index: number; other: number; ofPower: boolean }) {
  // A claim of power is held against the ceilings too.
  const claim = useLugline((state) => selectComparison(state, other, index, ofPower)?.claim ?? null);
  const units = useResultUnits();
  const words = useMemo(
    () => claim && claimWords(claim, [candidateLetter(other), candidateLetter(index)], units),
    [claim, other, index, units],
  );
  if (words === null) return <p className={styles.hint}>Enter the claimed gain to have it checked.</p>;
  return (
    <div className={styles.check} role="status">
      <p className={styles.verdict}>{words.verdict}</p>
      <Sentences as="ul" of={words.evidence} />
      {words.worth !== '' && <p>{words.worth}</p>}
    </div>
  );
}

/** The map that the candidate is computed on: its own, or a donor's scaled to its measured wheel. */
function MapSection({ candidate, index }: { candidate: Candidate; index: number }) {
  const apply = useApply();
  const { map } = candidate;
  return (
    <section className={styles.section} aria-label="Map">
      <h3 className={styles.title}>Map {isEstimated(candidate) && <EstimateTag />}</h3>
      <SheetChoice
        stacked
        kind="compressor"
        kept={map}
        label="Its own map"
        none="None: borrow a donor map"
        unnamed="Map without a name"
        onChoose={(id) => apply(assignMap(candidate.id, id))}
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
        <span className="block soft small">{donor.reason}</span>
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
