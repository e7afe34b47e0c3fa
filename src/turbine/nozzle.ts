/**
 * Flow parameter psi = W sqrt(R T0) / (A p0) of an isentropic nozzle of area A, for one ratio of specific heats whose constants are
 * worked out once: an answer costs a logarithm and two exponentials. The form with expm1 keeps its digits as the ratio goes to 1.
 * Source: Saravanamuttoo et al., Gas Turbine Theory, appendix A; NACA Report 1135 (both from memory).
 */
export class NozzleLaw {
  /** p0/p at which the throat is sonic. */
  readonly criticalExpansionRatio: number;
  readonly logCritical: number;
  /** psi of the choked nozzle: sqrt(gamma) (2/(gamma+1))^((gamma+1)/(2(gamma-1))). */
  readonly chokedFlowParameter: number;
  private readonly temperatureExponent: number;
  private readonly densityExponent: number;
  private readonly factor: number;

  /** @param gamma ratio of specific heats, above 1 */
  constructor(gamma: number) {
    this.logCritical = (gamma / (gamma - 1)) * Math.log((gamma + 1) / 2);
    this.criticalExpansionRatio = Math.exp(this.logCritical);
    this.chokedFlowParameter = Math.sqrt(gamma) * (2 / (gamma + 1)) ** ((gamma + 1) / (2 * (gamma - 1)));
    this.temperatureExponent = -(gamma - 1) / gamma;
    this.densityExponent = -1 / gamma;
    this.factor = (2 * gamma) / (gamma - 1);
  }

  /** @param expansionRatio total to static, p0/p; 0 at 1 and below (no flow backwards), constant from the critical ratio on. */
  at(expansionRatio: number): number {
    return this.atLog(Math.log(expansionRatio));
  }

  /** @param logExpansionRatio natural logarithm of p0/p: so that a power of the ratio costs a product. */
  atLog(logExpansionRatio: number): number {
    const x = logExpansionRatio;
    if (!(x > 0)) return 0;
    if (x >= this.logCritical) return this.chokedFlowParameter;
    return Math.exp(this.densityExponent * x) * Math.sqrt(-this.factor * Math.expm1(this.temperatureExponent * x));
  }
}

/** Ratio of specific heats of exhaust in the capacity's nozzle law; gas turbine practice (Saravanamuttoo et al.; Dixon & Hall ch. 8). */
const EXHAUST_GAMMA = 4 / 3;
export const EXHAUST_NOZZLE = new NozzleLaw(EXHAUST_GAMMA);

/**
 * Flow parameter W sqrt(R T0) / (A p0) of an isentropic nozzle.
 * @param expansionRatio total to static, p0/p
 * @param gamma ratio of specific heats, above 1; 1 to 1.67 for gases
 * @returns 0 at a ratio of 1 and below, constant once choked. To evaluate often for one gamma, keep a `NozzleLaw`.
 */
export function nozzleFlowParameter(expansionRatio: number, gamma: number): number {
  return new NozzleLaw(gamma).at(expansionRatio);
}

/** Expansion ratio p0/p at which a nozzle chokes: ((gamma+1)/2)^(gamma/(gamma-1)). @param gamma above 1 */
export function criticalExpansionRatio(gamma: number): number {
  return ((gamma + 1) / 2) ** (gamma / (gamma - 1));
}
