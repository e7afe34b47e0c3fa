import { Suspense, useState } from 'react';
import { changeSettings, duplicateBuild, newBuild, type Settings, selectBuild } from '../build/index.ts';
import {
  createId,
  type StorageStatus,
  selectBuilds,
  selectRedoLabel,
  selectUndoLabel,
  useActions,
  useApply,
  useLugline,
  useSettings,
} from '../store/index.ts';
import { MenuButton } from '../widgets/index.ts';
import styles from './app.module.css';
import type { FileActions } from './fileActions.ts';
import { HelpDialog, StorageDialog } from './lateDialogs.ts';
import { momentWords, type StorageSign, storageSign } from './storageWords.ts';

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

export interface BuildEntry {
  id: string;
  name: string;
  invented: boolean;
}

export interface BuildActions {
  open: (id: string) => void;
  create: () => void;
  duplicate: () => void;
  rename: () => void;
  remove: () => void;
  importFiles: () => void;
  exportBuild: () => void;
  saveBackup: () => void;
}

/** The builds on this machine and what can be done with the open one. */
export function BuildSwitcher({
  builds,
  activeId,
  actions,
}: {
  builds: readonly BuildEntry[];
  activeId: string;
  actions: BuildActions;
}) {
  const active = builds.find((build) => build.id === activeId);
  const name = displayName(active?.name ?? '');
  return (
    <MenuButton
      label={`Build: ${name}`}
      className={`${styles.quiet} ${styles.build}`}
      groups={[
        {
          title: 'Builds on this machine',
          entries: builds.map((build) => ({
            key: `open-${build.id}`,
            name: displayName(build.name),
            isCurrent: build.id === activeId,
            tag: build.invented ? 'invented' : undefined,
            onAction: () => actions.open(build.id),
          })),
        },
        {
          title: 'This build',
          entries: [
            { key: 'rename', name: 'Rename…', onAction: actions.rename },
            { key: 'duplicate', name: 'Duplicate', onAction: actions.duplicate },
            { key: 'export', name: 'Save as a build file', onAction: actions.exportBuild },
            { key: 'remove', name: 'Delete', isDanger: true, onAction: actions.remove },
          ],
        },
        {
          title: 'More',
          entries: [
            { key: 'create', name: 'New build', onAction: actions.create },
            { key: 'import', name: 'Open a file…', onAction: actions.importFiles },
            { key: 'backup', name: 'Save a backup of everything', onAction: actions.saveBackup },
          ],
        },
      ]}
    >
      <span className={styles.buildName}>{name}</span>
      {active?.invented && <span className={styles.tag}>invented</span>}
    </MenuButton>
  );
}

function displayName(name: string): string {
  return name.trim() === '' ? 'Build without a name' : name;
}

export type ViewKey = 'match' | 'altitude' | 'maps' | 'sheet';

const VIEWS: readonly { key: ViewKey; name: string }[] = [
  { key: 'match', name: 'Match' },
  { key: 'altitude', name: 'Altitude' },
  { key: 'maps', name: 'Maps' },
  { key: 'sheet', name: 'Sheet' },
];

export function ViewSwitch({ view, onChoose }: { view: ViewKey; onChoose: (view: ViewKey) => void }) {
  return (
    <nav className={styles.views} aria-label="Views">
      {VIEWS.map(({ key, name }) => (
        <button
          key={key}
          type="button"
          className={styles.view}
          aria-current={key === view ? 'page' : undefined}
          onClick={() => onChoose(key)}
        >
          {name}
        </button>
      ))}
    </nav>
  );
}

export interface HistoryStep {
  /** What the step does, in the words of the command: 'change altitude'. null: nothing to undo or redo. */
  label: string | null;
  run: () => void;
}

/** Undo and redo with the words of the step that they take; the words also stand in the accessible name. */
export function HistoryButtons({ undo, redo }: { undo: HistoryStep; redo: HistoryStep }) {
  return (
    <div className={styles.group}>
      <StepButton
        word="Undo"
        keys="Ctrl+Z"
        step={undo}
        path="M6 4 2.500 7.500 6 11M3 7.500h6.500a3.500 3.500 0 0 1 0 7H7"
      />
      <StepButton
        word="Redo"
        keys="Ctrl+Shift+Z"
        step={redo}
        path="M10 4l3.500 3.500L10 11M13 7.500H6.500a3.500 3.500 0 0 0 0 7H9"
      />
    </div>
  );
}

function StepButton({ word, keys, step, path }: { word: string; keys: string; step: HistoryStep; path: string }) {
  const title = step.label === null ? `Nothing to ${word.toLowerCase()}` : `${word}: ${step.label} (${keys})`;
  return (
    <span title={title}>
      <button
        type="button"
        className={styles.quiet}
        aria-label={title}
        disabled={step.label === null}
        onClick={step.run}
      >
        <svg
          className={styles.icon}
          viewBox="0 0 16 16"
          aria-hidden="true"
          fill="none"
          stroke="currentColor"
          strokeWidth="1.5"
        >
          <path d={path} />
        </svg>
        {word}
      </button>
    </span>
  );
}

/** Says in the header whether the data is safe; opened, where it lives, when it was last saved, and what to do about it. */
export function StorageButton({ files }: { files: FileActions }) {
  const [isOpen, setOpen] = useState(false);
  // The words, not the status: while every keystroke is being saved the header has nothing new to say and is not drawn again.
  const short = useLugline(({ storage }) => sign(storage).short);
  const tone = useLugline(({ storage }) => sign(storage).tone);
  return (
    <>
      <button
        type="button"
        className={`${styles.quiet} ${styles.status}`}
        data-tone={tone}
        aria-label={`Your data: ${short}`}
        title={short}
        onClick={() => setOpen(true)}
      >
        <svg
          className={styles.icon}
          viewBox="0 0 16 16"
          aria-hidden="true"
          fill="none"
          stroke="currentColor"
          strokeWidth="1.4"
        >
          <ellipse cx="8" cy="4" rx="5.500" ry="2" />
          <path d="M2.500 4v8c0 1.100 2.500 2 5.500 2s5.500-.9 5.500-2V4M2.500 8c0 1.100 2.500 2 5.500 2s5.500-.9 5.500-2" />
        </svg>
        <span className={tone === 'calm' ? styles.long : undefined}>{short}</span>
      </button>
      <Suspense fallback={null}>{isOpen && <StorageDialog files={files} onClose={() => setOpen(false)} />}</Suspense>
    </>
  );
}

function sign(status: StorageStatus): StorageSign {
  const now = Date.now();
  return storageSign(status, now, (time) => momentWords(time, now));
}

const THEMES: readonly { key: Settings['theme']; text: string }[] = [
  { key: 'system', text: 'As the system' },
  { key: 'light', text: 'Light' },
  { key: 'dark', text: 'Dark' },
];

/** Light, dark, or as the system is set. */
export function ThemeMenu({
  theme,
  onChoose,
}: {
  theme: Settings['theme'];
  onChoose: (theme: Settings['theme']) => void;
}) {
  const current = THEMES.find((entry) => entry.key === theme)?.text ?? '';
  return (
    <MenuButton
      label={`Colours: ${current}`}
      variant="quiet"
      align="end"
      groups={[
        {
          title: 'Colours',
          entries: THEMES.map(({ key, text }) => ({
            key,
            name: text,
            isCurrent: key === theme,
            onAction: () => onChoose(key),
          })),
        },
      ]}
    >
      <svg className={styles.icon} viewBox="0 0 16 16" aria-hidden="true">
        <circle cx="8" cy="8" r="6" fill="none" stroke="currentColor" strokeWidth="1.5" />
        <path d="M8 2a6 6 0 0 1 0 12z" fill="currentColor" />
      </svg>
    </MenuButton>
  );
}

/** Opens the in-app help. */
export function HelpButton() {
  const [isOpen, setOpen] = useState(false);
  return (
    <>
      <button type="button" className={styles.quiet} onClick={() => setOpen(true)}>
        Help
      </button>
      <Suspense fallback={null}>{isOpen && <HelpDialog onClose={() => setOpen(false)} />}</Suspense>
    </>
  );
}
