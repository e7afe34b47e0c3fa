import { Suspense, useCallback, useState } from 'react';
import { useLugline } from '../../store/index.ts';
import { CardDialog, CounterMode } from './lateParts.ts';
import styles from './match.module.css';
import { Results } from './results/Results.tsx';
import { Sidebar } from './sidebar/Sidebar.tsx';

/** The Match view. The answer and the map, the inputs at their side; where there is no room for both, they slide in over it. */
export function MatchView() {
  // Another build is another set of fields: what is half typed in one must not show up in the other.
  const buildId = useLugline((state) => state.workspace.activeBuildId);
  const isCounter = useLugline((state) => state.ui.isCounter);
  const isCardOpen = useLugline((state) => state.ui.openCardId !== null);
  const [isSheetOpen, setSheetOpen] = useState(false);
  const toggle = useCallback(() => setSheetOpen((isOpen) => !isOpen), []);
  return (
    <div className={styles.view} data-inputs={isSheetOpen || undefined}>
      <Results key={`results-${buildId}`} onInputs={toggle} />
      <Sidebar key={`inputs-${buildId}`} isSheetOpen={isSheetOpen} onClose={toggle} />
      <Suspense fallback={null}>
        {isCardOpen && <CardDialog />}
        {isCounter && <CounterMode />}
      </Suspense>
    </div>
  );
}
