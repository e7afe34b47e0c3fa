import { useMemo } from 'react';
import { type Candidate, setCandidateField, setCardField } from '../../../build/index.ts';
import {
  selectCandidateFigures,
  selectCandidates,
  selectComparison,
  useActions,
  useApply,
  useLugline,
  useSettings,
} from '../../../store/index.ts';
import { Button, Dialog, TextLine } from '../../../widgets/index.ts';
import { type DerivedRow, derivedRows, ratioRows } from '../../shared/derivedRows.ts';
import { candidateLetter, comparedPair } from '../../shared/provenance.ts';
import { useResultUnits } from '../../shared/resultUnits.ts';
import { CandidateQuantity } from '../sidebar/CandidateGroup.tsx';
import { CardChoice } from './CardChoice.tsx';
import { CardField } from './CardField.tsx';
import styles from './card.module.css';
import { claimWords, doubtWords } from './cardWords.ts';
import { MapSection } from './MapSection.tsx';
import { TurbineSection } from './TurbineSection.tsx';

/** Everything about one turbo that is measured, read or claimed, with what follows from it at once. */
export function CardDialog() {
  const { setUi } = useActions();
  const apply = useApply();
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
          <TextLine
            stacked
            label="Name"
            value={candidate.name}
            onChange={(text) => apply(setCandidateField(candidate.id, 'name', text))}
          />
          <WheelSection candidate={candidate} wheel="compressor" index={index} />
          <WheelSection candidate={candidate} wheel="turbine" index={index} />
        </div>
        <div className={styles.column}>
          <DerivedSection index={index} other={other} />
          <NotesSection candidate={candidate} />
        </div>
        <div className={styles.column}>
          <MapSection candidate={candidate} index={index} />
          <ClaimSection candidate={candidate} index={index} other={other} />
          <HousingSection candidate={candidate} />
          <TurbineSection candidate={candidate} index={index} />
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

const WORDS = {
  compressor: {
    title: 'Compressor wheel',
    inducer: 'Compressor inducer',
    exducer: 'Compressor exducer',
    tipHeight: 'Compressor tip height',
    fullBlades: 'Compressor full blades',
    splitterBlades: 'Compressor splitters',
    hint: 'Inducer: the smaller diameter, where the air comes in. Tip height: at the exducer.',
  },
  turbine: {
    title: 'Turbine wheel',
    inducer: 'Turbine inducer',
    exducer: 'Turbine exducer',
    tipHeight: 'Turbine tip height',
    fullBlades: 'Turbine full blades',
    splitterBlades: 'Turbine splitters',
    hint: 'Inducer: the larger diameter, where the exhaust comes in. Tip height: at the inducer.',
  },
} as const;

/** One wheel by calipers. What cannot be true of such a wheel is said where it was typed. */
export function WheelSection({ candidate, wheel, index }: Props) {
  const words = WORDS[wheel];
  const figures = useLugline((state) => selectCandidateFigures(state, index)?.[wheel].figures ?? null);
  return (
    <section className={styles.section} aria-label={words.title}>
      <h3 className={styles.title}>{words.title}</h3>
      <CardField candidate={candidate} path={`wheels.${wheel}.inducer`} label={words.inducer} />
      <CardField candidate={candidate} path={`wheels.${wheel}.exducer`} label={words.exducer} />
      <CardField candidate={candidate} path={`wheels.${wheel}.tipHeight`} label={words.tipHeight} />
      <CardField
        candidate={candidate}
        path={`wheels.${wheel}.fullBlades`}
        label={words.fullBlades}
        placeholder="none"
      />
      <CardField
        candidate={candidate}
        path={`wheels.${wheel}.splitterBlades`}
        label={words.splitterBlades}
        placeholder="none"
      />
      {wheel === 'compressor' && (
        <CardField
          candidate={candidate}
          path="wheels.caliperUncertainty"
          label="Calipers read to ±"
          placeholder="0.05"
        />
      )}
      <p className={styles.hint}>{words.hint}</p>
      {(figures?.doubts ?? []).map((doubt) => (
        <p key={doubt} className={styles.doubt} role="status">
          {doubtWords(doubt, wheel)}
        </p>
      ))}
    </section>
  );
}

/** What follows from the measurements at once, each number with what the calipers leave open. */
export function DerivedSection({ index, other }: { index: number; other: number | null }) {
  const figures = useLugline((state) => selectCandidateFigures(state, index));
  const lengths = useLugline((state) =>
    selectCandidates(state)[index]?.wheels.compressor.exducer.unit === 'in' ? 'in' : 'mm',
  );
  const ratios = useLugline((state) =>
    other === null ? null : (selectComparison(state, other, index, false)?.ratios ?? null),
  );
  const derived = useMemo(() => (figures === null ? [] : derivedRows(figures, { lengths })), [figures, lengths]);
  const against = useMemo(() => (ratios === null ? [] : ratioRows(ratios)), [ratios]);
  return (
    <section className={styles.section} aria-label="What follows">
      <Rows title="What follows" rows={derived} />
      {other !== null && <Rows title={`More or less than ${candidateLetter(other)}`} rows={against} />}
      <p className={styles.hint}>
        ± is the most that the calipers leave open. Areas are circles over the tips, hub and blades not taken off: for
        comparing wheels. A speed sensor at the inducer counts full blades only.
      </p>
    </section>
  );
}

function Rows({ title, rows }: { title: string; rows: readonly DerivedRow[] }) {
  return (
    <table className={styles.table}>
      <thead>
        <tr>
          <th scope="col">{title}</th>
          <th scope="col">Compressor</th>
          <th scope="col">Turbine</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row.title}>
            <th scope="row">{row.title}</th>
            <td>{row.compressor}</td>
            <td>{row.turbine}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Whatever the shop wants to remember about this turbo. */
export function NotesSection({ candidate }: { candidate: Candidate }) {
  const apply = useApply();
  return (
    <section className={styles.section} aria-label="Notes">
      <TextLine
        stacked
        rows={3}
        label="Notes on this candidate"
        value={candidate.notes}
        placeholder="Where it came from, its state, clearances"
        onChange={(text) => apply(setCardField(candidate.id, 'notes', text))}
      />
    </section>
  );
}

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

const KINDS = [
  { key: 'none', name: 'Nothing' },
  { key: 'flow', name: 'More air flow' },
  { key: 'power', name: 'More power' },
] as const;

/** What the maker or seller says that it gives more, held against what was measured and what the maps give. */
export function ClaimSection({
  candidate,
  index,
  other,
}: {
  candidate: Candidate;
  index: number;
  other: number | null;
}) {
  const isClaimed = candidate.claim.kind !== 'none';
  return (
    <section className={styles.section} aria-label="Claim">
      <h3 className={styles.title}>Claim</h3>
      <CardChoice candidate={candidate} path="claim.kind" label="What is claimed" options={KINDS} />
      {isClaimed && (
        <CardField
          candidate={candidate}
          path="claim.gain"
          label={other === null ? 'Claimed gain' : `… than ${candidateLetter(other)}`}
          placeholder="none"
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
      <ul>
        {words.evidence.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      {words.worth !== '' && <p>{words.worth}</p>}
    </div>
  );
}
