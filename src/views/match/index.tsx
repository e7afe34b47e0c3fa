import { Suspense } from 'react';
import { useLugline } from '../../store/index.ts';
import { CardDialog, CounterMode } from './lateParts.ts';
import styles from './match.module.css';
import { Results } from './results/Results.tsx';
import { Sidebar } from './sidebar/Sidebar.tsx';

/** The Match view. Inputs on the left, what they come to on the right; both at once, so that an answer is never a click away. */
export function MatchView() {
  // Another build is another set of fields: what is half typed in one must not show up in the other.
  const buildId = useLugline((state) => state.workspace.activeBuildId);
  const isCounter = useLugline((state) => state.ui.isCounter);
  const isCardOpen = useLugline((state) => state.ui.openCardId !== null);
  return (
    <div className={styles.view}>
      <Sidebar key={`inputs-${buildId}`} />
      <Results key={`results-${buildId}`} />
      <Suspense fallback={null}>
        {isCardOpen && <CardDialog />}
        {isCounter && <CounterMode />}
      </Suspense>
    </div>
  );
}
