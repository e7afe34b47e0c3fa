import { changeSettings, duplicateBuild, newBuild, selectBuild } from '../build/index.ts';
import {
  createId,
  selectBuilds,
  selectRedoLabel,
  selectUndoLabel,
  useActions,
  useApply,
  useLugline,
  useSettings,
} from '../store/index.ts';
import styles from './app.module.css';
import { BuildSwitcher } from './BuildSwitcher.tsx';
import type { FileActions } from './fileActions.ts';
import { HelpButton } from './HelpButton.tsx';
import { HistoryButtons } from './HistoryButtons.tsx';
import { StorageButton } from './StorageButton.tsx';
import { ThemeMenu } from './ThemeMenu.tsx';
import { ViewSwitch } from './ViewSwitch.tsx';

/** One line: which build, which view, back and forward, and whether the data is safe. */
export function Header({
  files,
  onRename,
  onDelete,
}: {
  files: FileActions;
  onRename: () => void;
  onDelete: () => void;
}) {
  const builds = useLugline(selectBuilds);
  const activeId = useLugline((state) => state.workspace.activeBuildId);
  const view = useLugline((state) => state.ui.view);
  const undoLabel = useLugline(selectUndoLabel);
  const redoLabel = useLugline(selectRedoLabel);
  const { theme } = useSettings();
  const apply = useApply();
  const { undo, redo, setUi } = useActions();
  return (
    <header className={styles.header}>
      <h1 className={styles.name}>
        <Mark />
        Lugline
      </h1>
      <BuildSwitcher
        builds={builds.map(({ id, name, invented }) => ({ id, name, invented: invented === true }))}
        activeId={activeId}
        actions={{
          open: (id) => apply(selectBuild(id)),
          create: () => apply(newBuild(createId())),
          duplicate: () => apply(duplicateBuild(activeId, createId())),
          rename: onRename,
          remove: onDelete,
          importFiles: files.open,
          exportBuild: files.saveBuild,
          saveBackup: files.saveBackup,
        }}
      />
      <ViewSwitch view={view} onChoose={(chosen) => setUi({ view: chosen })} />
      <span className={styles.spring} />
      <HistoryButtons undo={{ label: undoLabel, run: undo }} redo={{ label: redoLabel, run: redo }} />
      <StorageButton files={files} />
      <ThemeMenu theme={theme} onChoose={(chosen) => apply(changeSettings({ theme: chosen }))} />
      <HelpButton />
    </header>
  );
}

/** An operating line rising between two axes. */
function Mark() {
  return (
    <svg className={styles.mark} viewBox="0 0 20 20" aria-hidden="true" fill="none" stroke="currentColor">
      <path d="M3 2v15h15" strokeWidth="1.5" />
      <path d="M5 15c4-.5 7-4.500 12-10" strokeWidth="2.2" />
      <circle cx="11.300" cy="11" r="1.900" fill="var(--paper)" strokeWidth="1.500" />
    </svg>
  );
}
