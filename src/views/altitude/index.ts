/** The Altitude view: ceilings, what binds, the calibration table, and how sure it is. */
export { AltitudeView } from './AltitudeView.tsx';
