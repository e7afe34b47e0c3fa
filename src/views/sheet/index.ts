export { SheetView } from './SheetView.tsx';
