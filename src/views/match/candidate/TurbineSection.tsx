import { useEffect, useMemo, useRef } from 'react';
import { type Candidate, candidateTurbine, chooseTurbineSource } from '../../../build/index.ts';
import { selectActiveBuild, useActions, useLugline } from '../../../store/index.ts';
import { useResultUnits } from '../../shared/useResultUnits.ts';
import { EstimateTag } from '../results/EstimateTag.tsx';
import { CardChoice } from './CardChoice.tsx';
import styles from './card.module.css';
import { capacityWords } from './model/capacityWords.ts';
import { turbineNotes } from './model/turbineNotes.ts';
import { shownTurbineFields, TurbineEfficiency } from './TurbineEfficiency.tsx';
import { TurbineEntries } from './TurbineEntries.tsx';
import { TurbineMessages } from './TurbineMessages.tsx';
import { TurbineSheetChoice } from './TurbineSheetChoice.tsx';

const SOURCES = [
  { key: 'none', name: 'Not known' },
  { key: 'sheet', name: 'From a turbine sheet' },
  { key: 'measured', name: 'Estimated from the measurements here' },
] as const;

/** How the turbine is known, and what is still missing: with it the line is one that the exhaust can drive. */
export function TurbineSection({ candidate, index }: { candidate: Candidate; index: number }) {
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
      <CardChoice
        stacked
        candidate={candidate}
        path="turbine.source"
        label="Swallowing capacity"
        options={SOURCES}
        change={(source) => chooseTurbineSource(candidate.id, source)}
        help="How much exhaust the turbine lets through at each expansion ratio (pressure before it over pressure behind it)."
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
