import { memo, Suspense } from 'react';
import { changeSettings, type Settings } from '../../../build/index.ts';
import { useApply, useSettings } from '../../../store/index.ts';
import { Icon } from '../../../widgets/index.ts';
import { CAUTIONS } from '../../shared/display.ts';
import { DifferencePanels, PointsPanel, TurbineSection } from '../lateParts.ts';
import styles from '../match.module.css';
import type { Side } from '../model/side.ts';

interface Props {
  shown: Side;
  /** One map is shown, not both. */
  isOne: boolean;
  /** Both, the one of the smaller letter first; null: there is only one. */
  pair: readonly [Side, Side] | null;
  /** Pointed at, else chosen. */
  engineSpeedRpm: number | null;
  chosenRpm: number | null;
  onHoverSpeed: (engineSpeedRpm: number | null) => void;
  onChooseSpeed: (engineSpeedRpm: number) => void;
}

type Part = NonNullable<Settings['matchDrawer']>;
const PARTS: readonly { key: Part; name: string }[] = [
  { key: 'table', name: 'Table' },
  { key: 'turbine', name: 'Turbine' },
  { key: 'differences', name: 'Differences' },
];

/** What is looked at now and then: closed it draws nothing, and it is as it was left. */
export function Drawer({ shown, isOne, pair, engineSpeedRpm, chosenRpm, onHoverSpeed, onChooseSpeed }: Props) {
  const { matchDrawer = 'closed' } = useSettings();
  const open = matchDrawer === 'differences' && pair === null ? 'closed' : matchDrawer;
  return (
    <section className={styles.drawer} aria-label="Drawer" data-open={open === 'closed' ? undefined : open}>
      <DrawerBar open={open} hasPair={pair !== null} />
      {open !== 'closed' && (
        <div className={styles.drawn}>
          <Suspense fallback={null}>
            {open === 'table' && (
              <PointsPanel
                results={shown.results}
                index={shown.index}
                selectedRpm={engineSpeedRpm}
                chosenRpm={chosenRpm}
                onSelect={onChooseSpeed}
              />
            )}
            {open === 'turbine' && (
              <TurbineSection
                first={isOne || pair === null ? shown : pair[0]}
                second={isOne || pair === null ? null : pair[1]}
                engineSpeedRpm={engineSpeedRpm}
                onHoverSpeed={onHoverSpeed}
                onChooseSpeed={onChooseSpeed}
              />
            )}
            {open === 'differences' && pair !== null && (
              <DifferencePanels first={pair[0].index} second={pair[1].index} watch={pair[1].words} />
            )}
          </Suspense>
        </div>
      )}
    </section>
  );
}

const DrawerBar = memo(function DrawerBar({ open, hasPair }: { open: Part; hasPair: boolean }) {
  const apply = useApply();
  return (
    <div className={styles.drawerBar}>
      {PARTS.map(({ key, name }) => (
        <button
          key={key}
          type="button"
          aria-expanded={key === open}
          disabled={key === 'differences' && !hasPair}
          onClick={({ currentTarget }) => {
            apply(changeSettings({ matchDrawer: key === open ? 'closed' : key }));
            // Where the page scrolls, what was opened would lie under its end.
            const drawer = currentTarget.closest('section');
            setTimeout(() => drawer?.scrollIntoView?.({ block: 'nearest' }), 0);
          }}
        >
          <Icon name="chevron" />
          {name}
        </button>
      ))}
      <p className={styles.cautions}>{CAUTIONS}</p>
    </div>
  );
});
