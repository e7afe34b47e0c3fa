import { memo } from 'react';
import { addCandidate, changeSettings, MOST_CANDIDATES } from '../../../build/index.ts';
import {
  createId,
  selectCandidates,
  type UiState,
  useActions,
  useApply,
  useLugline,
  useSettings,
} from '../../../store/index.ts';
import { Button, ChoiceRow } from '../../../widgets/index.ts';
import { comparedPair } from '../../shared/comparedPair.ts';
import styles from '../match.module.css';

const LAYOUTS: readonly { key: UiState['matchLayout']; name: string }[] = [
  { key: 'one', name: 'One map' },
  { key: 'side-by-side', name: 'Side by side' },
  { key: 'overlay', name: 'Overlay' },
];

const BELOW: readonly { key: UiState['matchBelow']; name: string }[] = [
  { key: 'numbers', name: 'Numbers' },
  { key: 'turbine', name: 'Turbine' },
];

/** How the candidates are looked at. Stands in the same place whatever is chosen. */
export const ViewBar = memo(function ViewBar() {
  const { setUi } = useActions();
  const apply = useApply();
  const layout = useLugline((state) => state.ui.matchLayout);
  const below = useLugline((state) => state.ui.matchBelow);
  const count = useLugline((state) => selectCandidates(state).length);
  const add = () => {
    apply(addCandidate(createId()));
    apply(changeSettings({ shownCandidate: count }));
  };
  return (
    <div className={styles.viewBar}>
      <ChoiceRow
        label="How the candidates are shown"
        hideLabel
        value={count < 2 ? 'one' : layout}
        options={LAYOUTS.map((option) => ({ ...option, isDisabled: count < 2 && option.key !== 'one' }))}
        onChange={(matchLayout) => setUi({ matchLayout })}
      />
      <ChoiceRow
        label="What stands below the map"
        hideLabel
        value={below}
        options={BELOW}
        onChange={(matchBelow) => setUi({ matchBelow })}
      />
      <SwapButton count={count} isComparing={count > 1 && layout !== 'one'} />
      <span className={styles.spring} />
      {count < MOST_CANDIDATES && (
        <Button variant="quiet" icon="plus" onPress={add}>
          <span className={styles.longWords}>Add a candidate</span>
        </Button>
      )}
      <Button icon="whole" onPress={() => setUi({ isCounter: true })}>
        Counter mode
      </Button>
    </div>
  );
});

function SwapButton({ count, isComparing }: { count: number; isComparing: boolean }) {
  const apply = useApply();
  const pair = comparedPair(useSettings(), count);
  if (!isComparing || pair === null) return null;
  return (
    <Button
      variant="quiet"
      label="Swap the two candidates"
      onPress={() => apply(changeSettings({ shownCandidate: pair[1], comparedCandidate: pair[0] }))}
    >
      Swap
    </Button>
  );
}
