import '../widgets/rules.css';
import './theme.css';
import './first.css';
import './fonts.css';

import { createRoot } from 'react-dom/client';
import { loadCurveDrag, loadMapZoom } from '../plot/index.ts';
import { LuglineContext } from '../store/index.ts';
import { fetchLateParts } from '../widgets/index.ts';
import { App, ErrorBoundary } from './App.tsx';
import { keepLogs } from './keepLogs.ts';
import { openProgram } from './persistence.ts';
import { keepStudies } from './studies/keepStudies.ts';

loadFonts();
void open();

/** No await at the top: the late parts stand on this very script, and must not wait for it if it ever waits for one of them. */
async function open(): Promise<void> {
  const root = document.getElementById('root');
  if (root === null) throw new Error('The page has no place to draw in: index.html is damaged.');
  // What is stored is read before the first drawing: another build must not flash up first.
  const { store, files } = await openProgram();
  createRoot(root).render(
    <ErrorBoundary onSaveData={files.saveBackup}>
      <LuglineContext value={store}>
        <App files={files} />
      </LuglineContext>
    </ErrorBoundary>,
  );
  const studies = keepStudies(store);
  keepLogs(store);
  fetchLateParts(studies.warm, [loadMapZoom, loadCurveDrag]);
  void import('./offline.ts').then(({ keepForOffline }) => keepForOffline(store)).catch(() => undefined);
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
