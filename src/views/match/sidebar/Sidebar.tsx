import { memo } from 'react';
import { selectShownCandidate, useLugline } from '../../../store/index.ts';
import styles from '../match.module.css';
import { AirGroup } from './AirGroup.tsx';
import { CandidateGroup } from './CandidateGroup.tsx';
import { ChargePathGroup } from './ChargePathGroup.tsx';
import { EngineGroup } from './EngineGroup.tsx';
import { EngineSpeedsGroup } from './EngineSpeedsGroup.tsx';
import { ExhaustGroup } from './ExhaustGroup.tsx';
import { FuelSupplyGroup } from './FuelSupplyGroup.tsx';
import { GoalGroup } from './GoalGroup.tsx';
import { InletGroup } from './InletGroup.tsx';
import { LimitsGroup } from './LimitsGroup.tsx';
import { NotesGroup } from './NotesGroup.tsx';

/** All inputs, in the order in which they are asked for at the counter. Every field draws again by itself. */
export const Sidebar = memo(function Sidebar() {
  const shown = useLugline(selectShownCandidate);
  return (
    <aside className={styles.sidebar} aria-label="Inputs">
      <AirGroup />
      <GoalGroup />
      {shown !== null && <CandidateGroup key={shown} index={shown} />}
      <EngineGroup />
      <ChargePathGroup />
      <InletGroup />
      <ExhaustGroup />
      <FuelSupplyGroup />
      <LimitsGroup />
      <EngineSpeedsGroup />
      <NotesGroup />
    </aside>
  );
});
