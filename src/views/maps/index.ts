export { MapsView } from './MapsView.tsx';
