export { fetchTracing, MapsView } from './MapsView.tsx';
