export { ComparePanels } from './ComparePanels.tsx';
