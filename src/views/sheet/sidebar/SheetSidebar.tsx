import { memo } from 'react';
import {
  addFitmentItem,
  type FiledSheet,
  fileSheet,
  MOST_FITMENT_ITEMS,
  removeFitmentItem,
  setBuildField,
  setFitmentItem,
} from '../../../build/index.ts';
import { createId, selectActiveBuild, useApply, useBuild, useBuildField, useLugline } from '../../../store/index.ts';
import { Button, Disclosure, IconButton, Sentences } from '../../../widgets/index.ts';
import { useResultUnits } from '../../shared/display.ts';
import { Field } from '../../shared/Field.tsx';
import { filedWords } from '../model/filing.ts';
import styles from '../sheet.module.css';

/** What only the sheet needs: whose it is, the fitment list, and the record of filing it. */
export const SheetSidebar = memo(function SheetSidebar({ record }: { record: FiledSheet }) {
  return (
    <aside className={styles.sidebar} aria-label="What stands on the sheet">
      <Disclosure title="Head of the sheet" openAtFirst>
        <Field path="sheet.shopName" />
        <Field path="sheet.car" />
        <Field path="sheet.customerReference" />
        <Field path="sheet.dateText" />
        <TodayButton />
        <Field path="sheet.preparedBy" />
        <Field path="sheet.remarks" />
        <p className={styles.note}>What is left empty is printed as room to write on.</p>
      </Disclosure>
      <Disclosure title="Further pages" openAtFirst>
        <Field path="sheet.controlTable" />
        <p className={styles.note}>
          The table of the Altitude view for the shown candidate, on a page of its own behind the sheet.
        </p>
      </Disclosure>
      <FitmentGroup />
      <FilingGroup record={record} />
    </aside>
  );
});

/** Puts today's date on the sheet: it stays as it is from then on, and does not become another when the build is opened next year. */
function TodayButton() {
  const apply = useApply();
  const date = useBuildField('sheet.dateText');
  const today = new Date().toLocaleDateString('en-GB', { day: 'numeric', month: 'long', year: 'numeric' });
  return (
    <div className={styles.buttons}>
      <Button isDisabled={date === today} onPress={() => apply(setBuildField('sheet.dateText', today))}>
        Put today’s date
      </Button>
    </div>
  );
}

const MOST_PART_SIGNS = 80;

/** The parts that are needed to fit the turbo; the boxes are ticked on paper. */
function FitmentGroup() {
  const fitment = useLugline((state) => selectActiveBuild(state).fitment);
  const apply = useApply();
  return (
    <Disclosure title="Fitment list" summary={`${fitment.length} parts`}>
      {fitment.map(({ id, part, detail }, i) => (
        <div key={id} className={styles.part}>
          <div>
            <input
              aria-label={`Part ${i + 1}`}
              placeholder="Part"
              value={part}
              maxLength={MOST_PART_SIGNS}
              onChange={(event) => apply(setFitmentItem(id, 'part', event.target.value))}
            />
            <input
              aria-label={`Size or number of part ${i + 1}`}
              placeholder="Size, number, supplier"
              value={detail}
              maxLength={MOST_PART_SIGNS}
              onChange={(event) => apply(setFitmentItem(id, 'detail', event.target.value))}
            />
          </div>
          <IconButton icon="trash" label={`Remove part ${i + 1}`} onPress={() => apply(removeFitmentItem(id))} />
        </div>
      ))}
      <div className={styles.buttons}>
        <Button
          icon="plus"
          isDisabled={fitment.length >= MOST_FITMENT_ITEMS}
          onPress={() => apply(addFitmentItem(createId()))}
        >
          Add a part
        </Button>
      </div>
      <p className={styles.note}>At most {MOST_FITMENT_ITEMS} parts. The boxes are ticked by hand on paper.</p>
    </Disclosure>
  );
}

/** Files the sheet with the build, and says what has changed since. */
function FilingGroup({ record }: { record: FiledSheet }) {
  const build = useBuild();
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
          <Sentences as="ul" of={words.details} className={styles.changes} />
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
