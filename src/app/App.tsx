import { useCallback, useLayoutEffect } from 'react';
import { useActions, useLugline, useSettings } from '../store/index.ts';
import { MatchView } from '../views/match/index.ts';
import styles from './app.module.css';
import { DropTarget } from './DropTarget.tsx';
import type { FileActions } from './fileActions.ts';
import { Header } from './Header.tsx';
import { useHistoryShortcuts } from './historyShortcuts.ts';

/** The shell: header, the view that is chosen, and files dropped anywhere. */
export function App({ files }: { files: FileActions }) {
  const view = useLugline((state) => state.ui.view);
  const { undo, redo } = useActions();
  useHistoryShortcuts(undo, redo);
  useTheme();
  const take = useCallback((dropped: File[]) => files.take(dropped), [files]);
  return (
    <div className={styles.shell}>
      <a className={styles.skip} href="#main">
        Skip to the {view === 'match' ? 'match' : 'maps'}
      </a>
      <Header files={files} onRename={() => {}} />
      <main id="main" className={styles.main} tabIndex={-1}>
        {view === 'match' ? <MatchView /> : null}
      </main>
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
