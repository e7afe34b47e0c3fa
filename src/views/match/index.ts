/** The Match view: inputs, the operating line on the map, findings and the table of points. */
export { MatchView } from './MatchView.tsx';
