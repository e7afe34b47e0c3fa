import { useEffect, useState } from 'react';
import { chooseUnits } from '../build/index.ts';
import { type Notice, useActions, useLugline } from '../store/index.ts';
import { Button, Icon, IconButton, Sentences } from '../widgets/index.ts';
import type { FileActions } from './fileActions.ts';
import styles from './notices.module.css';

/** What has worked goes by itself, later where there is something to press. What has not stays until it is dismissed. */
const STAYS_MS = 10_000;
const STAYS_WITH_ACTION_MS = 20_000;

/** What came of opening, saving and deleting, in a corner where it covers no input. Time stops while pointer or keyboard are on it. */
export function Notices({ files }: { files: FileActions }) {
  const notices = useLugline((state) => state.ui.notices);
  const [isHeld, setHeld] = useState(false);
  const isEmpty = notices.length === 0;
  useEffect(() => {
    // A message that goes while it is pointed at takes the leaving event with it.
    if (isEmpty) setHeld(false);
  }, [isEmpty]);
  return (
    <section
      className={styles.notices}
      aria-label="Messages on files and storage"
      aria-live="polite"
      onPointerEnter={() => setHeld(true)}
      onPointerLeave={() => setHeld(false)}
      onFocus={() => setHeld(true)}
      onBlur={() => setHeld(false)}
    >
      {notices.map((notice) => (
        <NoticeBox key={notice.id} notice={notice} files={files} isHeld={isHeld} />
      ))}
    </section>
  );
}

function NoticeBox({ notice, files, isHeld }: { notice: Notice; files: FileActions; isHeld: boolean }) {
  const { dismiss, run } = useActions();
  const { id, tone, text, details, unreadable = [], offersFile, offersUnits, isUpdate = false, action } = notice;
  const goes = tone === 'done' && details.length === 0 && offersUnits === undefined && !isUpdate;
  const stays = action === undefined ? STAYS_MS : STAYS_WITH_ACTION_MS;
  useEffect(() => {
    if (!goes || isHeld) return;
    const timer = setTimeout(() => dismiss(id), stays);
    return () => clearTimeout(timer);
  }, [goes, isHeld, stays, id, dismiss]);
  const once = (act: () => void) => {
    act();
    dismiss(id);
  };
  return (
    <div className={styles.notice} data-tone={tone}>
      <Icon name={tone === 'done' ? 'check' : 'caution'} className="rigid above-s" />
      <div className={styles.words}>
        <p>{text}</p>
        <Sentences as="ul" of={details} />
        {isUpdate && (
          <Button onPress={() => void import('./offline.ts').then(({ takeUpdate }) => takeUpdate())}>
            Go on with it
          </Button>
        )}
        {offersUnits !== undefined && (
          <Button onPress={() => once(() => run(chooseUnits(offersUnits)))}>Use US units</Button>
        )}
        {action !== undefined && <Button onPress={() => once(action.run)}>{action.name}</Button>}
        {unreadable.map(({ name, index }) => (
          <Button key={index} onPress={() => files.saveUnreadable(index)}>
            {`Save “${name}” as it stands`}
          </Button>
        ))}
        {offersFile === true && <Button onPress={files.saveBackup}>Save a file now</Button>}
      </div>
      <IconButton icon="cross" label="Dismiss" onPress={() => dismiss(id)} />
    </div>
  );
}
