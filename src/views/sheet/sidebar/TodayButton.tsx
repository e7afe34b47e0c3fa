import { setBuildField } from '../../../build/index.ts';
import { useApply, useBuildField } from '../../../store/index.ts';
import { Button } from '../../../widgets/index.ts';
import styles from '../sheet.module.css';

/** Puts today's date on the sheet: it stays as it is from then on, and does not become another when the build is opened next year. */
export function TodayButton() {
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
