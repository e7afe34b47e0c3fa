import { useCallback } from 'react';
import {
  assignMap,
  type Candidate,
  type CandidateNumber,
  candidateRules,
  candidateTurbine,
  isTurbineSheet,
  removeCandidate,
  setCandidateField,
} from '../../../build/index.ts';
import {
  selectActiveBuild,
  selectCandidateResults,
  selectCandidates,
  useActions,
  useApply,
  useFieldDraft,
  useLugline,
  useShelf,
} from '../../../store/index.ts';
import { Button, QuantityField, SelectField, TextLine, type TypedQuantity } from '../../../widgets/index.ts';
import { candidateLetter, isEstimated, mapTitle } from '../../shared/provenance.ts';
import { useFieldPlace } from '../../shared/useFieldPlace.ts';
import { turbineKnown } from '../model/inputSummaries.ts';
import { InputGroup } from './InputGroup.tsx';
import styles from './sidebar.module.css';

const NO_MAP = '';

/** The candidate that the map shows: its name, its map from the shelf, and the maker's limit. */
export function CandidateGroup({ index }: { index: number }) {
  const candidate = useLugline((state) => selectCandidates(state)[index]);
  if (candidate === undefined) return null;
  const title = `Candidate ${candidateLetter(index)}`;
  return (
    <InputGroup key={candidate.id} title={title} summary={(build) => summaryOf(build.candidates[index])} openAtFirst>
      <CandidateFields candidate={candidate} index={index} />
    </InputGroup>
  );
}

function summaryOf(candidate: Candidate | undefined): string {
  const title = candidate === undefined ? '' : mapTitle(candidate);
  return title === '' ? 'no map' : title;
}

function CandidateFields({ candidate, index }: { candidate: Candidate; index: number }) {
  const apply = useApply();
  const { setUi } = useActions();
  const shelf = useShelf().filter((sheet) => !isTurbineSheet(sheet));
  const { map } = candidate;
  // A map that was taken off the shelf stays with the candidate that carries it, and must still be named.
  const gone = map !== null && !shelf.some(({ id }) => id === map.id) ? [map] : [];
  const options = [
    { key: NO_MAP, name: 'No map yet' },
    ...[...shelf, ...gone].map(({ id, name }) => ({ key: id, name: name.trim() || 'Map without a name' })),
  ];
  const limitOfMap = map?.limits.shaftSpeed.text.trim() ?? '';
  return (
    <>
      <TextLine
        label="Name"
        value={candidate.name}
        onChange={(text) => apply(setCandidateField(candidate.id, 'name', text))}
      />
      <SelectField
        label="Map"
        value={map?.id ?? NO_MAP}
        options={options}
        onChange={(id) => apply(assignMap(candidate.id, id === NO_MAP ? null : id))}
        help={isEstimated(candidate) ? `${mapTitle(candidate)}. Every number of it is an estimate.` : undefined}
      />
      <CandidateQuantity
        candidate={candidate}
        field="shaftSpeedLimit"
        label="Shaft speed limit"
        placeholder={limitOfMap === '' ? 'none' : limitOfMap}
        help={
          limitOfMap === '' || candidate.shaftSpeedLimit.text.trim() !== ''
            ? undefined
            : 'Empty: the limit of the map holds.'
        }
      />
      <AssumedEfficiency candidate={candidate} index={index} />
      <TurbineLine candidate={candidate} index={index} />
      <div className={styles.actions}>
        <Button onPress={() => setUi({ view: 'maps', ...(map === null ? {} : { openMapId: map.id }) })}>
          {map === null ? 'Enter a map' : 'Open the map'}
        </Button>
        <Button onPress={() => setUi({ openCardId: candidate.id })}>Card</Button>
        <Button variant="quiet" label="Remove candidate" onPress={() => apply(removeCandidate(candidate.id))}>
          Remove
        </Button>
      </div>
    </>
  );
}

/** Asked for only where the map has no efficiency of its own. */
function AssumedEfficiency({ candidate, index }: { candidate: Candidate; index: number }) {
  const surface = useLugline((state) => selectCandidateResults(state, index)?.surface ?? null);
  if (surface === null || surface.hasEfficiency) return null;
  return (
    <CandidateQuantity
      candidate={candidate}
      field="assumedEfficiency"
      label="Assumed efficiency"
      placeholder="none"
      help="The map has none. Temperatures and power follow from this number."
    />
  );
}

/** What is known of the turbine, and the way to where it is entered. */
export function TurbineLine({ candidate, index }: { candidate: Candidate; index: number }) {
  const { setUi } = useActions();
  const turbine = useLugline((state) => candidateTurbine(selectActiveBuild(state), index));
  if (turbine === null) return null;
  return (
    <div className={styles.turbine}>
      <p>
        <span>Turbine</span> {turbineKnown(candidate, turbine)}
      </p>
      <Button
        label={turbine.from === 'none' ? 'Enter the turbine on the card' : 'Turbine on the card'}
        onPress={() => setUi({ openCardId: candidate.id, openCardPart: 'turbine' })}
      >
        {turbine.from === 'none' ? 'Enter' : 'Turbine'}
      </Button>
    </div>
  );
}

/** A number of a candidate in its field. */
export function CandidateQuantity({
  candidate,
  field,
  label,
  placeholder,
  help,
}: {
  candidate: Candidate;
  field: CandidateNumber;
  label: string;
  placeholder: string;
  help?: string | undefined;
}) {
  const apply = useApply();
  const { id } = candidate;
  const [draft, keepDraft] = useFieldDraft(useFieldPlace(`candidate/${id}/${field}`));
  const onChange = useCallback((next: TypedQuantity) => apply(setCandidateField(id, field, next)), [apply, id, field]);
  const { quantity, low, high } = candidateRules[field];
  return (
    <QuantityField
      label={label}
      value={candidate[field]}
      quantity={quantity}
      min={low}
      max={high}
      allowEmpty
      placeholder={placeholder}
      help={help}
      draft={draft}
      onDraft={keepDraft}
      onChange={onChange}
    />
  );
}
