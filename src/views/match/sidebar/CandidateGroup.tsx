import type { ReactNode } from 'react';
import {
  assignMap,
  type Build,
  type Candidate,
  candidateTurbine,
  changeSettings,
  removeCandidate,
} from '../../../build/index.ts';
import {
  selectActiveBuild,
  selectCandidateResults,
  selectCandidates,
  useActions,
  useApply,
  useLugline,
} from '../../../store/index.ts';
import { Button, Disclosure } from '../../../widgets/index.ts';
import { candidateLetter, isEstimated, mapTitle } from '../../shared/display.ts';
import { Field, SheetChoice } from '../../shared/Field.tsx';
import { turbineKnown } from '../model/inputSummaries.ts';
import styles from './sidebar.module.css';

/** The candidate that the map shows: its name, its map from the shelf, and the maker's limit. */
export function CandidateGroup({ index }: { index: number }) {
  const candidate = useLugline((state) => selectCandidates(state)[index]);
  if (candidate === undefined) return null;
  const title = `Candidate ${candidateLetter(index)}`;
  return (
    <InputGroup key={candidate.id} title={title} summary={(build) => summaryOf(build.candidates[index])}>
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
  const { map } = candidate;
  return (
    <div className={styles.candidate}>
      <Field path="candidate.name" id={candidate.id} />
      <SheetChoice
        kind="compressor"
        kept={map}
        label="Map"
        none="No map yet"
        unnamed="Map without a name"
        onChoose={(id) => apply(assignMap(candidate.id, id))}
        help={isEstimated(candidate) ? `${mapTitle(candidate)}. Every number of it is an estimate.` : undefined}
      />
      <Field path="candidate.turboCount" id={candidate.id} />
      <ShaftSpeedLimit candidate={candidate} />
      <AssumedEfficiency id={candidate.id} index={index} />
      <TurbineLine candidate={candidate} index={index} />
      <div className="flex wrap gap-m above-m">
        <Button onPress={() => setUi({ view: 'maps', ...(map === null ? {} : { openMapId: map.id }) })}>
          {map === null ? 'Enter a map' : 'Open the map'}
        </Button>
        <Button onPress={() => setUi({ openCardId: candidate.id })}>Card</Button>
        <Button variant="quiet" label="Remove candidate" onPress={() => apply(removeCandidate(candidate.id))}>
          Remove
        </Button>
      </div>
    </div>
  );
}

/** The maker's limit; left empty, that of the map holds. */
export function ShaftSpeedLimit({ candidate, label }: { candidate: Candidate; label?: string }) {
  const ofMap = candidate.map?.limits.shaftSpeed;
  const hasOfMap = ofMap !== undefined && ofMap.text.trim() !== '';
  const isOfMap = hasOfMap && candidate.shaftSpeedLimit.text.trim() === '';
  return (
    <Field
      path="candidate.shaftSpeedLimit"
      id={candidate.id}
      {...(label !== undefined && { label })}
      {...(hasOfMap && { placeholder: ofMap })}
      help={isOfMap ? 'Empty: the limit of the map holds.' : undefined}
    />
  );
}

/** Asked for only where the map has no efficiency of its own. */
function AssumedEfficiency({ id, index }: { id: string; index: number }) {
  const surface = useLugline((state) => selectCandidateResults(state, index)?.surface ?? null);
  if (surface === null || surface.hasEfficiency) return null;
  return <Field path="candidate.assumedEfficiency" id={id} />;
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

/** The row that is open until another one is chosen. */
const FIRST_OPEN = 'Air';

/** A group of inputs as a row that says what it holds. One is open at a time, and is so again after a reload. */
export function InputGroup({
  title,
  summary,
  children,
}: {
  title: string;
  summary: (build: Build) => string;
  children: ReactNode;
}) {
  const words = useLugline((state) => summary(selectActiveBuild(state)));
  const isOpen = useLugline((state) => (state.workspace.settings.openInputs ?? FIRST_OPEN) === title);
  const apply = useApply();
  return (
    <Disclosure
      title={title}
      summary={words}
      isOpen={isOpen}
      onToggle={(open) => apply(changeSettings({ openInputs: open ? title : '' }))}
    >
      {children}
    </Disclosure>
  );
}
