export { pastedTablePlace } from './MapDesk.tsx';
export { MapsView } from './MapsView.tsx';
export { sheetKindOfTable } from './paste/takePaste.ts';
