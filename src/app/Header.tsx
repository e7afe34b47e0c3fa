import { Suspense, useState } from 'react';
import { changeSettings, chooseUnits, duplicateBuild, type Settings, selectBuild } from '../build/index.ts';
import {
  createId,
  selectBuildNames,
  selectRedoLabel,
  selectUndoLabel,
  type UiState,
  useActions,
  useApply,
  useLugline,
  useSettings,
} from '../store/index.ts';
import { cx, latePart, MenuButton } from '../widgets/index.ts';
import styles from './app.module.css';
import type { FileActions } from './fileActions.ts';
import { storageSign } from './storageSign.ts';

const StorageDialog = latePart(async () => (await import('./dialogs.tsx')).StorageDialog);
const NewBuildDialog = latePart(async () => (await import('./NewBuild.tsx')).NewBuildDialog);
const HelpDialog = latePart(async () => (await import('./Help.tsx')).HelpDialog);

const VIEWS: Readonly<Record<UiState['view'], string>> = {
  match: 'Match',
  altitude: 'Altitude',
  maps: 'Maps',
  log: 'Log',
  sheet: 'Sheet',
};
const THEMES: Readonly<Record<Settings['theme'], string>> = { system: 'As the system', light: 'Light', dark: 'Dark' };
const UNITS = { metric: 'Metric', us: 'US' } as const;
const keysOf = <Key extends string>(names: Readonly<Record<Key, string>>) => Object.keys(names) as Key[];

interface HeaderProps {
  files: FileActions;
  onRename: () => void;
  onDelete: () => void;
}

/** One line: which build, which view, back and forward, and whether the data is safe. */
export function Header(props: HeaderProps) {
  const view = useLugline((state) => state.ui.view);
  const undoLabel = useLugline(selectUndoLabel);
  const redoLabel = useLugline(selectRedoLabel);
  const [open, setOpen] = useState<'data' | 'help' | 'new' | null>(null);
  const { undo, redo, setUi } = useActions();
  const close = () => setOpen(null);
  return (
    <header className={styles.header}>
      <h1 className={styles.name}>
        <Mark />
        <span className={styles.word}>Lugline</span>
      </h1>
      <BuildMenu {...props} onNew={() => setOpen('new')} />
      <nav className={styles.views} aria-label="Views">
        {keysOf(VIEWS).map((key) => (
          <button
            key={key}
            type="button"
            className={styles.view}
            aria-current={key === view ? 'page' : undefined}
            onClick={() => setUi({ view: key })}
          >
            {VIEWS[key]}
          </button>
        ))}
      </nav>
      <span className={styles.spring} />
      <div className="row gap-xxs">
        <StepButton
          word="Undo"
          keys="Ctrl+Z"
          step={undoLabel}
          onPress={undo}
          path="M6 4 2.500 7.500 6 11M3 7.500h6.500a3.500 3.500 0 0 1 0 7H7"
        />
        <StepButton
          word="Redo"
          keys="Ctrl+Shift+Z"
          step={redoLabel}
          onPress={redo}
          path="M10 4l3.500 3.500L10 11M13 7.500H6.500a3.500 3.500 0 0 0 0 7H9"
        />
      </div>
      <StorageButton onPress={() => setOpen('data')} />
      <ThemeMenu />
      <button type="button" className={cx(styles.quiet, styles.help)} onClick={() => setOpen('help')}>
        Help
      </button>
      <Suspense fallback={null}>
        {open === 'data' && <StorageDialog files={props.files} onClose={close} />}
        {open === 'new' && <NewBuildDialog onClose={close} />}
        {open === 'help' && <HelpDialog onClose={close} />}
      </Suspense>
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

/** The builds on this machine and what can be done with the open one. */
function BuildMenu({ files, onRename, onDelete, onNew }: HeaderProps & { onNew: () => void }) {
  const builds = useLugline(selectBuildNames);
  const activeId = useLugline((state) => state.workspace.activeBuildId);
  const apply = useApply();
  const active = builds.find((build) => build.id === activeId);
  const name = displayName(active?.name ?? '');
  return (
    <MenuButton
      label={`Build: ${name}${active?.invented ? ' invented' : ''}`}
      className={cx(styles.quiet, styles.build)}
      groups={[
        {
          title: 'Builds on this machine',
          entries: builds.map((build) => ({
            key: `open-${build.id}`,
            name: displayName(build.name),
            isCurrent: build.id === activeId,
            tag: build.invented ? 'invented' : undefined,
            onAction: () => apply(selectBuild(build.id)),
          })),
        },
        {
          title: 'This build',
          entries: [
            { key: 'rename', name: 'Rename…', onAction: onRename },
            { key: 'duplicate', name: 'Duplicate', onAction: () => apply(duplicateBuild(activeId, createId())) },
            { key: 'export', name: 'Save as a build file', onAction: files.saveBuild },
            { key: 'remove', name: 'Delete', isDanger: true, onAction: onDelete },
          ],
        },
        {
          title: 'More',
          entries: [
            { key: 'create', name: 'New build…', onAction: onNew },
            { key: 'import', name: 'Open a file…', onAction: files.open },
            { key: 'demo', name: 'Open the V6 example', onAction: files.openDemo },
            { key: 'backup', name: 'Save a backup of everything', onAction: files.saveBackup },
          ],
        },
      ]}
    >
      <span className={styles.buildName}>{name}</span>{' '}
      {active?.invented && <span className={cx('badge rigid easy', styles.tag)}>invented</span>}
    </MenuButton>
  );
}

function displayName(name: string): string {
  return name.trim() === '' ? 'Build without a name' : name;
}

/** Undo or redo with the words of the step that it takes, which also stand in the accessible name; `step` null: there is none. */
function StepButton(props: { word: string; keys: string; step: string | null; onPress: () => void; path: string }) {
  const { word, keys, step, onPress, path } = props;
  const title = step === null ? `Nothing to ${word.toLowerCase()}` : `${word}: ${step} (${keys})`;
  return (
    <span title={title}>
      <button type="button" className={styles.quiet} aria-label={title} disabled={step === null} onClick={onPress}>
        <svg className={styles.icon} viewBox="0 0 16 16" aria-hidden="true" strokeWidth="1.5">
          <path d={path} />
        </svg>
        <span className={styles.word}>{word}</span>
      </button>
    </span>
  );
}

/** Says whether the data is safe, and opens where it lives. */
function StorageButton({ onPress }: { onPress: () => void }) {
  // The words, not the status: while every keystroke is being saved the header has nothing new to say and is not drawn again.
  const short = useLugline(({ storage }) => storageSign(storage).short);
  const tone = useLugline(({ storage }) => storageSign(storage).tone);
  return (
    <button
      type="button"
      className={cx(styles.quiet, styles.status)}
      data-tone={tone}
      aria-label={`Your data: ${short}`}
      title={short}
      onClick={onPress}
    >
      <svg className={styles.icon} viewBox="0 0 16 16" aria-hidden="true" strokeWidth="1.4">
        <ellipse cx="8" cy="4" rx="5.500" ry="2" />
        <path d="M2.500 4v8c0 1.100 2.500 2 5.500 2s5.500-.9 5.500-2V4M2.500 8c0 1.100 2.500 2 5.500 2s5.500-.9 5.500-2" />
      </svg>
      <span className={tone === 'calm' ? styles.long : undefined}>{short}</span>
    </button>
  );
}

/** Light, dark, or as the system is set; and the one choice of units. */
function ThemeMenu() {
  const { theme, system = 'metric' } = useSettings();
  const apply = useApply();
  return (
    <MenuButton
      label={`Colours: ${THEMES[theme]}. Units: ${UNITS[system]}`}
      variant="quiet"
      align="end"
      groups={[
        {
          title: 'Colours',
          entries: keysOf(THEMES).map((key) => ({
            key,
            name: THEMES[key],
            isCurrent: key === theme,
            onAction: () => apply(changeSettings({ theme: key })),
          })),
        },
        {
          title: 'Units of this build and the next',
          entries: keysOf(UNITS).map((key) => ({
            key,
            name: UNITS[key],
            isCurrent: key === system,
            onAction: () => key !== system && apply(chooseUnits(key)),
          })),
        },
      ]}
    >
      <svg className={styles.icon} viewBox="0 0 16 16" aria-hidden="true" strokeWidth="1.5">
        <circle cx="8" cy="8" r="6" />
        <path d="M8 2a6 6 0 0 1 0 12z" fill="currentColor" stroke="none" />
      </svg>
    </MenuButton>
  );
}
