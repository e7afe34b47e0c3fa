import '../widgets/rules.css';
import './theme.css';
import './first.css';
import './fonts.css';

import { createRoot } from 'react-dom/client';
import { loadCurveDrag, loadMapZoom } from '../plot/index.ts';
import { loadGate } from '../storage/index.ts';
import { LuglineContext, type LuglineStore } from '../store/index.ts';
import { fetchLateParts } from '../widgets/index.ts';
import { App, ErrorBoundary } from './App.tsx';
import { openProgram } from './persistence.ts';

loadFonts();
void open();

/** No await at the top: the late parts stand on this very script, and must not wait for it if it ever waits for one of them. */
async function open(): Promise<void> {
  const root = document.getElementById('root');
  if (root === null) throw new Error('The page has no place to draw in: index.html is damaged.');
  // What is stored is read before the first drawing: another build must not flash up first.
  const { store, files, fetchFiles } = await openProgram();
  createRoot(root).render(
    <ErrorBoundary onSaveData={files.saveBackup}>
      <LuglineContext value={store}>
        <App files={files} />
      </LuglineContext>
    </ErrorBoundary>,
  );
  fetchLateParts([loadMapZoom, loadCurveDrag, loadGate, fetchFiles, () => keepUp(store), () => import('./print.css')]);
  void import('./offline.ts').then(({ keepForOffline }) => keepForOffline(store)).catch(() => undefined);
}

/**
 * Studies and logs, which no first picture shows, are kept up by a late part; where it cannot be fetched, that is tried again when another
 * view is opened, as the parts of that view are.
 */
async function keepUp(store: LuglineStore): Promise<void> {
  try {
    const [{ keepStudies }, { keepLogs }] = await Promise.all([
      import('./studies/keepStudies.ts'),
      import('./keepLogs.ts'),
    ]);
    keepStudies(store).warm();
    keepLogs(store);
  } catch (error) {
    const { view } = store.getState().ui;
    const stop = store.subscribe(({ ui }) => {
      if (ui.view === view) return;
      stop();
      keepUp(store).catch(() => undefined);
    });
    throw error;
  }
}

/** All weights and both ranges at once: a name typed later with a letter of the extended range must not send a request then. */
function loadFonts(): void {
  const { fonts } = document;
  if (fonts === undefined) return;
  for (const weight of [400, 500, 600]) {
    // A font that does not come is no trouble: the next in the list of families is used.
    fonts.load(`${weight} 1em Barlow`, 'aā').catch(() => undefined);
  }
}
