import type { SheetHead } from '../model/sheetHead.ts';
import type { CandidateBlock } from '../model/sheetModel.ts';
import styles from './paper.module.css';

/** The head of the sheet: whose it is, for which car, when, by whom. What is not entered is a line to write on. */
export function TitleBlock({ head, candidates }: { head: SheetHead; candidates: readonly CandidateBlock[] }) {
  return (
    <header className={styles.head}>
      <div className={styles.headRow}>
        <p className={styles.shop}>{head.shopName}</p>
        {head.isInvented && (
          <p className={styles.invented}>Invented for demonstration: no such car, place or turbo exists.</p>
        )}
        <p className={styles.sheetName}>Match sheet</p>
      </div>
      <dl className={styles.titleBlock}>
        <Entry title="Car" value={head.car} isWide />
        <Entry title="Customer reference" value={head.customerReference} isWide />
        <Entry title="Date" value={head.date} />
        <Entry title="Prepared by" value={head.preparedBy} />
        <Entry title="Candidates" value={candidates.map(({ letter, name }) => `${letter} ${name}`).join(', ')} isWide />
        <Entry title="Build" value={head.build} isWide />
        <Entry title="Program" value={`Lugline ${head.program}`} />
        <Entry title="Hash of the inputs" value={head.inputs} />
      </dl>
    </header>
  );
}

function Entry({ title, value, isWide = false }: { title: string; value: string; isWide?: boolean }) {
  return (
    <div data-wide={isWide || undefined}>
      <dt>{title}</dt>
      <dd>{value === '' ? '\u00a0' : value}</dd>
    </div>
  );
}
