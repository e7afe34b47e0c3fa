import { memo } from 'react';
import { readControlTable, takeBreakpoints, usualBreakpoints } from '../../../build/index.ts';
import { selectActiveBuild, useApply, useBuildField, useLugline } from '../../../store/index.ts';
import { Button, Disclosure } from '../../../widgets/index.ts';
import { Field, FieldsOf } from '../../shared/Field.tsx';
import styles from '../altitude.module.css';

/** The control unit's breakpoints, how its numbers are written, and the table that it holds now. */
export const TableSidebar = memo(function TableSidebar() {
  const build = useLugline(selectActiveBuild);
  const kind = useBuildField('controlTable.kind');
  const usual = usualBreakpoints(build);
  return (
    <aside className={styles.sidebar} aria-label="Inputs of the table">
      <Disclosure title="Breakpoints" summary="of the control unit" openAtFirst>
        <Field path="controlTable.axis" />
        <Field path="controlTable.engineSpeeds" placeholder={usual.engineSpeeds} />
        <Field path="controlTable.barometers" placeholder={usual.barometers} />
        <p className={styles.note}>
          Typed, or pasted from the control unit; up to 32 each, rising or falling. While a box is empty, what stands in
          it faintly is used.
        </p>
        <Field path="controlTable.layout" />
      </Disclosure>
      <Disclosure title="Target" summary="what the cells hold" openAtFirst>
        <Field path="controlTable.kind" />
        {kind === 'ratio' ? <Field path="controlTable.ratioStep" /> : <Field path="controlTable.step" />}
        <Field path="controlTable.coldest" />
        <Field path="controlTable.warmest" />
        <p className={styles.note}>
          The unit of the step is that of the table. The target holds in the coldest and the warmest air and halfway
          between, at the humidity of today.
        </p>
        <Field path="sheet.controlTable" label="Print it behind the match sheet" />
      </Disclosure>
      <Disclosure title="Your table" summary="held against the ceilings" openAtFirst>
        <Field path="controlTable.entered" />
        <p className={styles.note}>
          In the same kind, unit and order; with or without its breakpoints. Tabs, semicolons, commas or blanks between
          the numbers, decimal point or comma.
        </p>
        <TableProblems />
      </Disclosure>
      <Disclosure title="Limits" summary="as in the Match view">
        <FieldsOf group="limits" />
      </Disclosure>
    </aside>
  );
});

/** What cannot be read, and the way out. */
function TableProblems() {
  const build = useLugline(selectActiveBuild);
  const apply = useApply();
  const { setup, problems } = readControlTable(build);
  const offered = setup?.pastedBreakpoints ?? null;
  return (
    <>
      {problems.map(({ path, message }) => (
        <p key={path + message} className={styles.trouble} role="status">
          {message}
        </p>
      ))}
      {offered !== null && (
        <div className={styles.actions}>
          <Button onPress={() => apply(takeBreakpoints(offered))}>Take its breakpoints</Button>
        </div>
      )}
    </>
  );
}
