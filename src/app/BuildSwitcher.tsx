import { MenuButton } from '../widgets/index.ts';
import styles from './app.module.css';

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
