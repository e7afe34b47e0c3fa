import { useEffect } from 'react';
import { useLugline } from '../../store/index.ts';
import { Preview } from './Preview.tsx';
import styles from './sheet.module.css';
import { SheetSidebar } from './sidebar/SheetSidebar.tsx';
import { useSheetInput } from './useSheetInput.ts';

/** What stands on the match sheet at the left, the sheet itself at the right: what is seen is what is printed. */
export function SheetView() {
  const buildId = useLugline((state) => state.workspace.activeBuildId);
  const input = useSheetInput();
  usePrintedAlone();
  return (
    <div className={styles.view}>
      <SheetSidebar key={`fields-${buildId}`} record={input.record} />
      <Preview key={buildId} present={input} />
    </div>
  );
}

/** While this view is open, printing the page prints the sheet. */
function usePrintedAlone(): void {
  useEffect(() => {
    document.body.dataset.printing = 'match-sheet';
    return () => {
      delete document.body.dataset.printing;
    };
  }, []);
}
