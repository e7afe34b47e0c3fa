import { useEffect } from 'react';
import { chooseUnits } from '../build/index.ts';
import { type Notice, useActions, useLugline } from '../store/index.ts';
import { Button, Icon, IconButton, Sentences } from '../widgets/index.ts';
import type { FileActions } from './fileActions.ts';
import styles from './notices.module.css';

/** What has worked needs no answer: it goes by itself. What has not stays until it is dismissed. */
const DONE_STAYS_MS = 8000;

/** What came of opening and saving, in a corner where it covers no input. */
export function Notices({ files }: { files: FileActions }) {
  const notices = useLugline((state) => state.ui.notices);
  return (
    <section className={styles.notices} aria-label="Messages on files and storage" aria-live="polite">
      {notices.map((notice) => (
        <NoticeBox key={notice.id} notice={notice} files={files} />
      ))}
    </section>
  );
}

function NoticeBox({ notice, files }: { notice: Notice; files: FileActions }) {
  const { dismiss, run } = useActions();
  const { id, tone, text, details, unreadable = [], offersFile, offersUnits, isUpdate = false } = notice;
  const goes = tone === 'done' && details.length === 0 && offersUnits === undefined && !isUpdate;
  useEffect(() => {
    if (!goes) return;
    const timer = setTimeout(() => dismiss(id), DONE_STAYS_MS);
    return () => clearTimeout(timer);
  }, [goes, id, dismiss]);
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
          <Button
            onPress={() => {
              run(chooseUnits(offersUnits));
              dismiss(id);
            }}
          >
            Use US units
          </Button>
        )}
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
