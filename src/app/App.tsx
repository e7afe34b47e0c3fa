import { Suspense, useCallback, useEffect, useLayoutEffect, useState } from 'react';
import { deleteBuild } from '../build/index.ts';
import { createId, selectActiveBuild, useActions, useLugline, useLuglineStore, useSettings } from '../store/index.ts';
import { MatchView } from '../views/match/index.ts';
import { createToaster, ToastRegion } from '../widgets/index.ts';
import styles from './app.module.css';
import { DropTarget } from './DropTarget.tsx';
import type { FileActions } from './fileActions.ts';
import { Header } from './Header.tsx';
import { useHistoryShortcuts } from './historyShortcuts.ts';
import { fetchLateDialogs, RenameDialog, RestoreDialog } from './lateDialogs.ts';
import { AltitudeView, MapsView, SheetView } from './lateParts.ts';
import { Notices } from './Notices.tsx';

const MAIN_NAMES = { match: 'match', altitude: 'altitudes', maps: 'maps', sheet: 'match sheet' } as const;

/** The shell: header, the view that is chosen, messages, and files dropped anywhere. */
export function App({ files }: { files: FileActions }) {
  const view = useLugline((state) => state.ui.view);
  const { undo, redo } = useActions();
  const isRestoring = useLugline((state) => state.ui.pendingRestore !== null);
  const [isRenaming, setRenaming] = useState(false);
  useEffect(fetchLateDialogs, []);
  const [toaster] = useState(createToaster);
  const store = useLuglineStore();
  useHistoryShortcuts(undo, redo);
  useTheme();
  const take = useCallback((dropped: File[]) => files.take(dropped), [files]);
  const remove = () => {
    const { id, name } = selectActiveBuild(store.getState());
    store.getState().run(deleteBuild(id, createId()));
    const deletion = store.getState().history.past.at(-1);
    // Only this very step: once something else was done, the button must not take that back instead.
    const undoDeletion = () => {
      if (store.getState().history.past.at(-1) === deletion) undo();
      else toaster.show({ text: 'Something else was done since. Undo it first, with Ctrl+Z.' });
    };
    toaster.show({ text: `The build “${name}” is deleted.`, action: { name: 'Undo', run: undoDeletion } });
  };
  return (
    <div className={styles.shell}>
      <a className={styles.skip} href="#main">
        Skip to the {MAIN_NAMES[view]}
      </a>
      <Header files={files} onRename={() => setRenaming(true)} onDelete={remove} />
      <main id="main" className={styles.main} tabIndex={-1}>
        {view === 'match' && <MatchView />}
        <Suspense fallback={null}>
          {view === 'altitude' && <AltitudeView />}
          {view === 'maps' && <MapsView />}
          {view === 'sheet' && <SheetView />}
        </Suspense>
      </main>
      <ToastRegion toaster={toaster} />
      <Notices files={files} />
      <Suspense fallback={null}>
        {isRestoring && <RestoreDialog files={files} />}
        {isRenaming && <RenameDialog onClose={() => setRenaming(false)} />}
      </Suspense>
      <DropTarget onFiles={take} />
    </div>
  );
}

/** The chosen theme is an attribute of the page: the style sheets do the rest. */
function useTheme(): void {
  const { theme } = useSettings();
  useLayoutEffect(() => {
    const root = document.documentElement;
    if (theme === 'system') delete root.dataset.theme;
    else root.dataset.theme = theme;
  }, [theme]);
}
