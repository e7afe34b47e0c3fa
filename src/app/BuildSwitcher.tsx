import styles from './app.module.css';
import { MenuButton } from './MenuButton.tsx';

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
            id: `open-${build.id}`,
            text: displayName(build.name),
            current: build.id === activeId,
            tag: build.invented ? 'invented' : undefined,
            run: () => actions.open(build.id),
          })),
        },
        {
          title: 'This build',
          entries: [
            { id: 'rename', text: 'Rename…', run: actions.rename },
            { id: 'duplicate', text: 'Duplicate', run: actions.duplicate },
            { id: 'export', text: 'Save as a build file', run: actions.exportBuild },
            { id: 'remove', text: 'Delete', run: actions.remove },
          ],
        },
        {
          title: 'More',
          entries: [
            { id: 'create', text: 'New build', run: actions.create },
            { id: 'import', text: 'Open a file…', run: actions.importFiles },
            { id: 'backup', text: 'Save a backup of everything', run: actions.saveBackup },
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
