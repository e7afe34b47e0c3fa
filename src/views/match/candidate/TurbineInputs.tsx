import { useEffect, useMemo, useRef } from 'react';
import {
  addSheet,
  assignTurbineSheet,
  type Candidate,
  candidateTurbine,
  chooseTurbineSource,
} from '../../../build/index.ts';
import {
  createId,
  selectActiveBuild,
  selectCandidateResults,
  useActions,
  useApply,
  useLugline,
} from '../../../store/index.ts';
import { Button, Sentences } from '../../../widgets/index.ts';
import { useResultUnits } from '../../shared/display.ts';
import { Field, SheetChoice } from '../../shared/Field.tsx';
import { sentenceOf } from '../../shared/findingSentences.ts';
import { EstimateTag } from '../results/signs.tsx';
import styles from './card.module.css';
import { capacityWords, type TurbineNotes, turbineNotes } from './cardSentences.ts';

/** How the turbine is known, and what is still missing: with it the line is one that the exhaust can drive. */
export function TurbineInputs({ candidate, index }: { candidate: Candidate; index: number }) {
  const { source } = candidate.turbine;
  const turbine = useLugline((state) => candidateTurbine(selectActiveBuild(state), index));
  const notes = useMemo(
    () => turbineNotes(turbine ?? { problems: [], notes: [] }, index, shownTurbineFields(candidate)),
    [turbine, index, candidate],
  );
  const units = useResultUnits();
  const capacity = turbine?.capacity ?? null;
  const estimate = useMemo(
    () => (capacity?.from === 'estimate' ? capacityWords(capacity, units) : null),
    [capacity, units],
  );
  return (
    <section ref={useAskedFor()} className={styles.section} aria-label="Turbine">
      <h3 className={styles.title}>Turbine {source === 'measured' && <EstimateTag />}</h3>
      <Field
        path="candidate.turbine.source"
        id={candidate.id}
        change={(source) => chooseTurbineSource(candidate.id, source)}
      />
      {source === 'none' && (
        <p className={styles.hint}>
          Without it everything works as far as the compressor goes. Boost threshold, back-pressure and what the gate
          has left cannot be told, and every goal counts as one that the exhaust can drive.
        </p>
      )}
      {source === 'sheet' && <TurbineSheetChoice candidate={candidate} />}
      {source !== 'none' && (
        <>
          <TurbineEntries candidate={candidate} />
          <TurbineMessages notes={notes} estimate={estimate} />
          <TurbineEfficiency candidate={candidate} notes={notes} />
          {candidate.housing.gate !== 'none' && <Wastegate candidate={candidate} index={index} notes={notes} />}
        </>
      )}
    </section>
  );
}

/** The card was opened for this section: it stands at the top of the window, its first choice under the keyboard. */
function useAskedFor() {
  const section = useRef<HTMLElement>(null);
  const part = useLugline((state) => state.ui.openCardPart);
  const { setUi } = useActions();
  useEffect(() => {
    if (part !== 'turbine') return;
    section.current?.scrollIntoView?.({ block: 'start' });
    section.current?.querySelector('select')?.focus({ preventScroll: true });
    setUi({ openCardPart: null });
  }, [part, setUi]);
  return section;
}

/** Which sheet of the shelf is this turbine's, and the way to its tables. */
function TurbineSheetChoice({ candidate }: { candidate: Candidate }) {
  const apply = useApply();
  const { setUi } = useActions();
  const { turbineSheet } = candidate;
  const openInMaps = (id: string) => setUi({ view: 'maps', openMapId: id, openCardId: null });
  const addEmptySheet = () => {
    const id = createId();
    // One step of undo: a sheet that is put on this candidate at once.
    apply(addSheet('turbine', id, `Turbine of ${candidate.name.trim() || 'a candidate'}`), `new-turbine-sheet.${id}`);
    apply(assignTurbineSheet(candidate.id, id), `new-turbine-sheet.${id}`);
    openInMaps(id);
  };
  return (
    <>
      <SheetChoice
        stacked
        kind="turbine"
        kept={turbineSheet}
        label="Turbine sheet"
        none="Not chosen yet"
        noneYet="None on the shelf yet"
        unnamed="Sheet without a name"
        onChoose={(id) => apply(assignTurbineSheet(candidate.id, id))}
      />
      <div className={styles.buttons}>
        {turbineSheet !== null && <Button onPress={() => openInMaps(turbineSheet.id)}>Open in Maps</Button>}
        <Button icon="plus" onPress={addEmptySheet}>
          New turbine sheet
        </Button>
      </div>
    </>
  );
}

/** Of a twin scroll: what the figures of the sheet, or the A/R, are of. A choice that still counts is shown, even where the scroll is not noted. */
function TurbineEntries({ candidate: { id, turbine, housing } }: { candidate: Candidate }) {
  const isAsked = housing.scroll === 'twin' || (housing.scroll !== 'single' && turbine.entries === 'one');
  if (!isAsked) return null;
  const ofHousing = turbine.source === 'sheet' ? {} : { label: 'Turbine A/R is of' };
  return <Field path="candidate.turbine.entries" id={id} {...ofHousing} />;
}

/** A sheet that is half typed has a message for every row; they all stand in its audit. */
const MOST_MESSAGES = 3;

/** The estimate with its band, what is missing for it, what stands in the way, and what is good to know. */
function TurbineMessages({ notes, estimate }: { notes: TurbineNotes; estimate: string | null }) {
  const { missing } = notes;
  const problems = notes.problems.slice(0, MOST_MESSAGES);
  const remarks = notes.remarks.slice(0, MOST_MESSAGES);
  const left = notes.problems.length - problems.length + notes.remarks.length - remarks.length;
  return (
    <>
      {estimate !== null && (
        <p className={styles.band} role="status">
          {estimate}
        </p>
      )}
      {missing.length > 0 && (
        <p className={styles.doubt} role="status">
          Still to be measured: {missing.join(', ')}. Until then no turbine is computed.
        </p>
      )}
      {problems.map((message) => (
        <p key={message} className={styles.doubt} role="status">
          {message}
        </p>
      ))}
      <Sentences as="p" of={remarks} className={styles.hint} />
      {left > 0 && <p className={styles.hint}>… and {left} more: the audit of the sheet in the Maps view has all.</p>}
    </>
  );
}

/** What the turbine makes of the exhaust's energy, and what its bearing takes of that. */
function TurbineEfficiency({ candidate, notes }: { candidate: Candidate; notes: TurbineNotes }) {
  const { id, turbine } = candidate;
  const [kind, ...rest] = shownTurbineFields(candidate);
  const numbers = rest.filter((path) => path.startsWith('turbine.efficiency.'));
  const field = (path: TurbineField) => (
    <Field key={path} path={`candidate.${path}`} id={id} warning={notes.of(path)} />
  );
  return (
    <>
      {kind !== undefined && (
        <Field
          path="candidate.turbine.efficiency.kind"
          id={id}
          warning={notes.of(kind)}
          // An estimate has no points to read an efficiency off.
          disabled={turbine.source === 'sheet' ? [] : ['sheet']}
        />
      )}
      {numbers.map(field)}
      <Field path="candidate.turbine.includesBearing" id={id} />
      {rest.includes(MECHANICAL) && field(MECHANICAL)}
    </>
  );
}

/** How much exhaust its open gate passes beside the turbine, and what the line asks of it. */
function Wastegate({ candidate, index, notes }: { candidate: Candidate; index: number; notes: TurbineNotes }) {
  const { id, wastegate } = candidate;
  const findings = useLugline((state) => selectCandidateResults(state, index)?.findings);
  const units = useResultUnits();
  const finding =
    findings?.find(({ code }) => code === 'gate-creep') ?? findings?.find(({ code }) => code === 'gate-area');
  const isHole = wastegate.area.text.trim() === '';
  return (
    <>
      {GATE.map((path) =>
        path === 'wastegate.flowCoefficient' && (!isHole || wastegate.diameter.text.trim() === '') ? null : (
          <Field key={path} path={`candidate.${path}`} id={id} warning={notes.of(path)} />
        ),
      )}
      {finding !== undefined && (
        <p className={styles.hint} role="status">
          {sentenceOf(finding, units)}
        </p>
      )}
    </>
  );
}

const GATE = ['wastegate.diameter', 'wastegate.flowCoefficient', 'wastegate.area'] as const;
const MECHANICAL = 'turbine.mechanicalEfficiency';
type TurbineField =
  | `turbine.efficiency.${'kind' | 'value' | 'best' | 'optimum'}`
  | typeof MECHANICAL
  | (typeof GATE)[number];

/** Fields beside which a note of theirs is shown, as they stand for this candidate. */
function shownTurbineFields({ turbine, housing }: Candidate): TurbineField[] {
  const { source, efficiency, includesBearing } = turbine;
  if (source === 'none') return [];
  const shown: TurbineField[] = ['turbine.efficiency.kind'];
  if (efficiency.kind === 'number') shown.push('turbine.efficiency.value');
  if (efficiency.kind === 'speed-ratio') shown.push('turbine.efficiency.best', 'turbine.efficiency.optimum');
  if (!includesBearing) shown.push(MECHANICAL);
  if (housing.gate !== 'none') shown.push(...GATE);
  return shown;
}
