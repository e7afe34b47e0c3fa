import { memo } from 'react';
import type { FiledSheet } from '../../../build/index.ts';
import { Disclosure } from '../../../widgets/index.ts';
import styles from '../sheet.module.css';
import { FilingGroup } from './FilingGroup.tsx';
import { FitmentGroup } from './FitmentGroup.tsx';
import { SheetLine } from './SheetLine.tsx';
import { TodayButton } from './TodayButton.tsx';

/** What only the sheet needs: whose it is, the fitment list, and the record of filing it. */
export const SheetSidebar = memo(function SheetSidebar({ record }: { record: FiledSheet }) {
  return (
    <aside className={styles.sidebar} aria-label="What stands on the sheet">
      <Disclosure title="Head of the sheet" openAtFirst>
        <SheetLine label="Shop" field="shopName" />
        <SheetLine label="Car" field="car" />
        <SheetLine label="Customer ref." field="customerReference" />
        <SheetLine label="Date" field="dateText" />
        <TodayButton />
        <SheetLine label="Prepared by" field="preparedBy" />
        <SheetLine label="Remarks" field="remarks" rows={4} />
        <p className={styles.note}>What is left empty is printed as room to write on.</p>
      </Disclosure>
      <FitmentGroup />
      <FilingGroup record={record} />
    </aside>
  );
});
