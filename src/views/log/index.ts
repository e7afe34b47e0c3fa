export { LogView } from './LogView.tsx';
