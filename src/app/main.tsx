import { createRoot } from 'react-dom/client';
import { LuglineContext } from '../store/index.ts';
import { App } from './App.tsx';
import { ErrorBoundary } from './ErrorBoundary.tsx';
import { fetchLateParts } from './lateParts.ts';
import { loadFonts } from './loadFonts.ts';
import { openProgram } from './persistence.ts';
import { keepStudies } from './studies/index.ts';
import './theme.css';
import './fonts.css';
import './app.css';

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
  fetchLateParts(() => studies.warm());
}
