import {
  Component,
  type ErrorInfo,
  type ReactNode,
  Suspense,
  useCallback,
  useEffect,
  useLayoutEffect,
  useRef,
  useState,
  useSyncExternalStore,
} from 'react';
import { deleteBuild } from '../build/index.ts';
import { darkPalette, lightPalette, type Palette, PaletteContext } from '../plot/index.ts';
import {
  createId,
  selectActiveBuild,
  useActions,
  useLugline,
  useLuglineStore,
  useRemoval,
  useSettings,
} from '../store/index.ts';
import { MatchView } from '../views/match/index.tsx';
import { latePart } from '../widgets/index.ts';
import styles from './app.module.css';
import type { FileActions } from './fileActions.ts';
import { Header } from './Header.tsx';
import { Notices } from './Notices.tsx';

const AltitudeView = latePart(async () => (await import('../views/altitude/index.ts')).AltitudeView);
const MapsView = latePart(async () => (await import('../views/maps/index.ts')).MapsView);
const LogView = latePart(async () => (await import('../views/log/index.ts')).LogView);
const SheetView = latePart(async () => (await import('../views/sheet/index.ts')).SheetView);
const RenameDialog = latePart(async () => (await import('./dialogs.tsx')).RenameDialog);
const RestoreDialog = latePart(async () => (await import('./dialogs.tsx')).RestoreDialog);

const MAIN_NAMES = {
  match: 'match',
  altitude: 'altitudes',
  maps: 'maps',
  log: 'road log',
  sheet: 'match sheet',
} as const;

/** The shell: header, the view that is chosen, messages, and files dropped anywhere. */
export function App({ files }: { files: FileActions }) {
  const view = useLugline((state) => state.ui.view);
  const { undo, redo } = useActions();
  const isRestoring = useLugline((state) => state.ui.pendingRestore !== null);
  const [isRenaming, setRenaming] = useState(false);
  const store = useLuglineStore();
  useHistoryShortcuts(undo, redo);
  const palette = useTheme();
  const take = useRemoval();
  const remove = () => {
    const { id, name } = selectActiveBuild(store.getState());
    take(deleteBuild(id, createId()), `The build “${name}” is deleted.`);
  };
  return (
    <PaletteContext value={palette}>
      <div className={styles.shell}>
        <a className={styles.skip} href="#main">
          Skip to the {MAIN_NAMES[view]}
        </a>
        <Header files={files} onRename={() => setRenaming(true)} onDelete={remove} />
        <main id="main" className="ui-low hide-over" tabIndex={-1}>
          {view === 'match' && <MatchView />}
          <Suspense fallback={null}>
            {view === 'altitude' && <AltitudeView />}
            {view === 'maps' && <MapsView files={files} />}
            {view === 'log' && <LogView openFiles={files.open} />}
            {view === 'sheet' && <SheetView />}
          </Suspense>
        </main>
        <Notices files={files} />
        <Suspense fallback={null}>
          {isRestoring && <RestoreDialog files={files} />}
          {isRenaming && <RenameDialog onClose={() => setRenaming(false)} />}
        </Suspense>
        <DropTarget onFiles={files.take} />
      </div>
    </PaletteContext>
  );
}

/** The chosen theme is an attribute of the page: the style sheets do the rest. Drawings take the colours that come back; on paper the light ones. */
function useTheme(): Palette {
  const { theme } = useSettings();
  useLayoutEffect(() => {
    const root = document.documentElement;
    if (theme === 'system') delete root.dataset.theme;
    else root.dataset.theme = theme;
  }, [theme]);
  const query = theme === 'system' ? 'screen and (prefers-color-scheme: dark)' : 'screen';
  const listen = useCallback(
    (changed: () => void) => {
      const list = globalThis.matchMedia?.(query);
      list?.addEventListener('change', changed);
      return () => list?.removeEventListener('change', changed);
    },
    [query],
  );
  const holds = useSyncExternalStore(listen, () => globalThis.matchMedia?.(query).matches ?? theme === 'dark');
  return holds && theme !== 'light' ? darkPalette : lightPalette;
}

/** Takes files dropped anywhere on the page, and shows while they hover what will happen. A file never replaces the page. */
export function DropTarget({ onFiles }: { onFiles: (files: File[]) => void }) {
  const [over, setOver] = useState(false);
  // dragenter and dragleave fire for every element on the way: only the balance says whether the pointer is still on the page.
  const depth = useRef(0);
  useEffect(() => {
    const carriesFiles = (event: DragEvent) => event.dataTransfer?.types.includes('Files') ?? false;
    const enter = (event: DragEvent) => {
      if (!carriesFiles(event)) return;
      depth.current += 1;
      setOver(true);
    };
    const leave = (event: DragEvent) => {
      if (!carriesFiles(event)) return;
      depth.current = Math.max(0, depth.current - 1);
      if (depth.current === 0) setOver(false);
    };
    const hover = (event: DragEvent) => {
      if (carriesFiles(event)) event.preventDefault();
    };
    const drop = (event: DragEvent) => {
      depth.current = 0;
      setOver(false);
      // A view that takes the files itself has said so.
      if (!carriesFiles(event) || event.defaultPrevented) return;
      event.preventDefault();
      onFiles([...(event.dataTransfer?.files ?? [])]);
    };
    const listeners = { dragenter: enter, dragleave: leave, dragover: hover, drop };
    const stop = new AbortController();
    for (const [type, listener] of Object.entries(listeners)) {
      window.addEventListener(type, listener as EventListener, { signal: stop.signal });
    }
    return () => stop.abort();
  }, [onFiles]);
  if (!over) return null;
  return (
    <div className={styles.drop}>
      <div className={styles.dropNote}>
        Drop to open
        <small>A build, map or backup file, or a road log. What is here already stays.</small>
      </div>
    </div>
  );
}

const OWN_UNDO = '[role="dialog"],[role="alertdialog"],input[aria-invalid="true"]';

/**
 * Ctrl or Cmd + Z undoes, with Shift (or Ctrl + Y) redoes, wherever the focus is, except where the browser's own undo of a text that
 * is not in the document is what a person expects: in a dialog, or in a field whose text cannot be read yet (a cell of a table
 * has no undo of its own).
 */
export function useHistoryShortcuts(undo: () => void, redo: () => void): void {
  useEffect(() => {
    const onKeyDown = (event: KeyboardEvent) => {
      if (event.defaultPrevented || event.altKey || !(event.ctrlKey || event.metaKey)) return;
      const key = event.key.toLowerCase();
      const isUndo = key === 'z' && !event.shiftKey;
      const isRedo = (key === 'z' && event.shiftKey) || key === 'y';
      if (!isUndo && !isRedo) return;
      if (event.target instanceof Element && event.target.closest(OWN_UNDO)) return;
      event.preventDefault();
      if (isUndo) undo();
      else redo();
    };
    window.addEventListener('keydown', onKeyDown);
    return () => window.removeEventListener('keydown', onKeyDown);
  }, [undo, redo]);
}

/** When drawing fails, the data must still be reachable: says what happened and offers the file of everything. */
export class ErrorBoundary extends Component<{ children: ReactNode; onSaveData: () => void }, { error: Error | null }> {
  override state: { error: Error | null } = { error: null };

  static getDerivedStateFromError(error: unknown): { error: Error } {
    return { error: error instanceof Error ? error : new Error(String(error)) };
  }

  override componentDidCatch(error: Error, info: ErrorInfo): void {
    console.error(error, info.componentStack);
  }

  override render(): ReactNode {
    const { error } = this.state;
    if (error === null) return this.props.children;
    return (
      <main className={styles.failure} role="alert">
        <h1>Lugline could not draw this page</h1>
        <p>
          Your data is not lost: it is still in this page and was being saved in this browser as you worked. Save it as
          a file first, then try again.
        </p>
        <p className="flex wrap gap-m above-m">
          <button type="button" onClick={this.props.onSaveData}>
            Save everything as a file
          </button>
          <button type="button" onClick={() => this.setState({ error: null })}>
            Try again
          </button>
          <button type="button" onClick={() => location.reload()}>
            Reload the page
          </button>
        </p>
        <details>
          <summary>What went wrong, for a report</summary>
          <pre>{error.stack ?? error.message}</pre>
        </details>
      </main>
    );
  }
}
