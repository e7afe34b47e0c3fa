import { type FiledSheet, fileSheet } from '../../../build/index.ts';
import { selectActiveBuild, useApply, useLugline } from '../../../store/index.ts';
import { Button, Disclosure } from '../../../widgets/index.ts';
import { useResultUnits } from '../../shared/useResultUnits.ts';
import { filedWords } from '../model/filedWords.ts';
import styles from '../sheet.module.css';

/** Files the sheet with the build, and says what has changed since. */
export function FilingGroup({ record }: { record: FiledSheet }) {
  const build = useLugline(selectActiveBuild);
  const units = useResultUnits();
  const apply = useApply();
  const words = filedWords(build, record, units);
  return (
    <Disclosure
      title="Filing"
      summary={words === null ? 'not filed' : words.isSame ? 'unchanged' : 'changed'}
      openAtFirst
    >
      {words === null ? (
        <p className={styles.note}>
          Filing keeps a record of inputs, program and numbers with the build. Save the build file beside the paper:
          when it is opened again, next year or with a newer program, this says what is different.
        </p>
      ) : (
        <>
          <p className={styles.note}>{words.filed}</p>
          <p className={styles.verdict} data-changed={!words.isSame || undefined} role="status">
            {words.verdict}
          </p>
          {words.details.length > 0 && (
            <ul className={styles.changes}>
              {words.details.map((detail) => (
                <li key={detail}>{detail}</li>
              ))}
            </ul>
          )}
        </>
      )}
      <div className={styles.buttons}>
        <Button isDisabled={words?.isSame === true} onPress={() => apply(fileSheet(record))}>
          {words === null ? 'File this sheet' : 'File it anew'}
        </Button>
        {words !== null && (
          <Button variant="quiet" onPress={() => apply(fileSheet(null))}>
            Take the record away
          </Button>
        )}
      </div>
    </Disclosure>
  );
}
