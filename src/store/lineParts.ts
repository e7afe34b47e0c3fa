/**
 * The parts of a build, its candidates apart, that operating lines depend on: its name and notes are not among them. Whatever is
 * remembered of a line is compared by these, so that none forgets a part.
 */
export const LINE_PARTS = [
  'engine',
  'fuelSupply',
  'air',
  'inletPath',
  'chargePath',
  'exhaust',
  'goal',
  'engineSpeeds',
  'limits',
] as const;
