import { CAUTIONS } from '../../shared/provenance.ts';

/** The cautions of the sheet: those that go with every number, and what somebody who works from paper must know. */
export const SHEET_CAUTIONS: readonly string[] = [
  CAUTIONS,
  'Approach every figure from below, on a dynamometer, with shaft speed, exhaust temperature, knock and lambda watched, guards in place and the exhaust drawn off: it poisons, and the turbine glows. ' +
    'What the compressor allows is not what the engine, its fuel supply or its ignition allow.',
  'Limits, torques and clearances are those of the makers of turbocharger and engine. Emission and road-traffic law and the rules of the place apply; the work is for qualified people. This sheet replaces neither.',
];
