import { createRoot } from 'react-dom/client';
import { demoWorkspace } from '../build/index.ts';
import { createLuglineStore, LuglineContext } from '../store/index.ts';
import { App } from './App.tsx';
import './theme.css';
import './fonts.css';
import './app.css';

const store = createLuglineStore(demoWorkspace());
const nothing = () => {};
const files = {
  open: nothing,
  take: nothing,
  saveBuild: nothing,
  saveBackup: nothing,
  keepFile: null,
  allowKeptFile: nothing,
  forgetKeptFile: nothing,
};
createRoot(document.getElementById('root')!).render(
  <LuglineContext value={store}>
    <App files={files} />
  </LuglineContext>,
);
