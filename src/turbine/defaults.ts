/**
 * What a turbine is taken to be where nothing is entered: common practice, no source. Small radial turbines on gas stands peak at 0.65 to
 * 0.75 total to static, near U/C0 0.65 to 0.70, and lose about 5 % of their power in a journal bearing at high speed.
 */
export const TURBINE_DEFAULTS = {
  /** Isentropic, total to static, as a plain number. */
  efficiency: 0.7,
  bestEfficiency: 0.72,
  optimumSpeedRatio: 0.68,
  mechanicalEfficiency: 0.95,
} as const;
