/**
 * Analytic centrifugal compressors: a mean-line model with explicit losses, so that flow, pressure ratio and efficiency are known
 * exactly at every corrected speed. They stand in for the truth when a fitted map is measured. Invented machines, not a model of any
 * real one. Relations: Euler work with Stanitz slip and backsweep, inducer throat choking with relative total conditions, incidence,
 * friction and diffuser losses in the forms of the usual textbooks (Dixon & Hall ch. 7; Saravanamuttoo et al. ch. 4), constants chosen.
 */
export interface MachineShape {
  name: string;
  /** Exducer and inducer tip diameter, m. */
  exducerM: number;
  inducerM: number;
  /** Exit width over exducer diameter. */
  widthRatio: number;
  /** Blades at the exit (full + splitter). */
  blades: number;
  /** Backsweep from radial, degrees. */
  backsweepDeg: number;
  /** Throat area over inducer annulus area. */
  throatShare: number;
  /** Friction loss coefficient on the relative kinetic energy at the inlet. */
  friction: number;
  /** Incidence loss coefficient, and the inlet flow coefficient c1/u1 (mean radius) that meets the blades without incidence. */
  incidence: number;
  flowAtNoIncidence: number;
  /** Diffuser loss coefficient for flow away from its own design angle. */
  diffuser: number;
  /** How sharply the head falls at choke: power of (W/Wchoke). */
  chokeSharpness: number;
  /** Share of the flow range from choke to zero that is stable, at low and at high speed. */
  surgeShareLow: number;
  surgeShareHigh: number;
  /** Shock and Mach losses at the inducer and diffuser entry, growing from tip Mach 0.75: what closes the islands at high speed. */
  shock: number;
  /** Friction grows at low speed with falling Reynolds number: what closes them at low speed. */
  lowSpeedFriction: number;
  /** Recirculation work near surge. */
  recirculation: number;
  /** Efficiency at which a line is drawn to its end on the choke side. */
  endEfficiency: number;
  topTipSpeed: number;
}

export interface MachinePoint {
  correctedMassFlowKgPerS: number;
  pressureRatio: number;
  efficiency: number;
}

const GAMMA = 1.4;
const CP = 1004.7;
const R = 287.05;
const T0 = 298.15;
const P0 = 100000;

export class AnalyticCompressor {
  readonly shape: MachineShape;
  readonly topSpeedRpm: number;
  private readonly ranges = new Map<number, { surge: number; choke: number }>();
  constructor(shape: MachineShape) {
    this.shape = shape;
    this.topSpeedRpm = (shape.topTipSpeed * 60) / (Math.PI * shape.exducerM);
  }

  /** Choked flow of the inducer throat, kg/s: relative stagnation conditions at the mean radius (Dixon & Hall sec. 7.8). */
  throatChokeFlow(speedRpm: number): number {
    const s = this.shape;
    const hub = 0.34 * s.inducerM;
    const area = (s.throatShare * Math.PI * (s.inducerM ** 2 - hub ** 2)) / 4;
    const um = (Math.PI * speedRpm * Math.sqrt((s.inducerM ** 2 + hub ** 2) / 2)) / 60;
    const a0 = Math.sqrt(GAMMA * R * T0);
    const m = um / a0;
    return (P0 / (R * T0)) * a0 * area * ((2 + (GAMMA - 1) * m * m) / (GAMMA + 1)) ** ((GAMMA + 1) / (2 * (GAMMA - 1)));
  }

  /** Specific work and isentropic head, J/kg, at a flow below the throat's choke flow. */
  private work(speedRpm: number, flow: number): { actual: number; isentropic: number } {
    const s = this.shape;
    const u2 = (Math.PI * s.exducerM * speedRpm) / 60;
    const hub = 0.34 * s.inducerM;
    const annulus = (Math.PI * (s.inducerM ** 2 - hub ** 2)) / 4;
    const rho0 = P0 / (R * T0);
    const c1 = (flow / (rho0 * annulus)) * (1 + 0.18 * (flow / (rho0 * annulus * 340)) ** 2);
    const um = (Math.PI * speedRpm * Math.sqrt((s.inducerM ** 2 + hub ** 2) / 2)) / 60;
    const slip = 1 - (0.63 * Math.PI) / s.blades;
    const exitArea = Math.PI * s.exducerM * s.exducerM * s.widthRatio;
    // Exit density by three passes of a polytropic guess: enough that the result is smooth and well inside 1e-6 of its fixed point.
    let euler = 0.6 * u2 * u2;
    let cm2 = 0;
    for (let i = 0; i < 12; i++) {
      const t = 1 + (0.55 * euler) / (CP * T0);
      const rho2 = rho0 * t ** 2.2;
      cm2 = flow / (rho2 * exitArea);
      euler = u2 * u2 * Math.max(0.05, slip - (cm2 / u2) * Math.tan((s.backsweepDeg * Math.PI) / 180));
    }
    const disc = 0.025 * u2 * u2;
    const phi = c1 / um;
    const phiBest = s.flowAtNoIncidence;
    const recirculation = s.recirculation * u2 * u2 * Math.exp(-(((phi / phiBest) * 3.2) ** 2));
    const actual = euler + disc + recirculation;
    const incidence = s.incidence * 0.5 * um * um * (phi - phiBest) ** 2;
    const mach = u2 / Math.sqrt(GAMMA * R * T0);
    const reynolds = 1 + s.lowSpeedFriction * Math.exp(-2.2 * mach);
    const friction = s.friction * reynolds * 0.5 * (um * um + c1 * c1);
    const over = Math.log1p(Math.exp(9 * (mach - 0.95))) / 9;
    const shock = s.shock * 0.5 * u2 * u2 * over * over;
    const swirl = euler / u2;
    const angle = cm2 / swirl;
    const diffuser = s.diffuser * 0.5 * swirl * swirl * (0.25 + (angle - 0.3) ** 2);
    return { actual, isentropic: euler - incidence - friction - diffuser - shock };
  }

  /** Exact point of the machine; null where the head is gone. */
  point(speedRpm: number, flow: number): MachinePoint | null {
    const choke = this.throatChokeFlow(speedRpm);
    const x = flow / choke;
    if (!(x > 0 && x < 1)) return null;
    const { actual, isentropic } = this.work(speedRpm, flow);
    // Shock and separation losses grow without bound as the throat chokes.
    const drop = 1 - x ** this.shape.chokeSharpness;
    const head = isentropic * Math.sqrt(Math.max(0, drop));
    if (!(head > 0)) return null;
    return {
      correctedMassFlowKgPerS: flow,
      pressureRatio: (1 + head / (CP * T0)) ** (GAMMA / (GAMMA - 1)),
      efficiency: head / actual,
    };
  }

  /** Flow range of a speed line as a sheet would draw it, kg/s: from its surge flow to where the efficiency has fallen to the end value. */
  range(speedRpm: number): { surge: number; choke: number } {
    const known = this.ranges.get(speedRpm);
    if (known) return known;
    const s = this.shape;
    let low = 0.3 * this.throatChokeFlow(speedRpm);
    let high = this.throatChokeFlow(speedRpm);
    for (let i = 0; i < 60; i++) {
      const middle = 0.5 * (low + high);
      if ((this.point(speedRpm, middle)?.efficiency ?? 0) > s.endEfficiency) low = middle;
      else high = middle;
    }
    const share = speedRpm / this.topSpeedRpm;
    const stable = s.surgeShareLow + (s.surgeShareHigh - s.surgeShareLow) * share * share;
    const range = { surge: low * (1 - stable), choke: low };
    this.ranges.set(speedRpm, range);
    return range;
  }

  at(speedRpm: number, beta: number): MachinePoint | null {
    const r = this.range(speedRpm);
    return this.point(speedRpm, r.surge + beta * (r.choke - r.surge));
  }
}

const BASE: MachineShape = {
  name: 'base',
  exducerM: 0.058,
  inducerM: 0.045,
  widthRatio: 0.068,
  blades: 12,
  backsweepDeg: 35,
  throatShare: 0.7,
  friction: 0.3,
  incidence: 0.9,
  flowAtNoIncidence: 0.62,
  diffuser: 0.55,
  chokeSharpness: 7,
  surgeShareLow: 0.62,
  surgeShareHigh: 0.48,
  recirculation: 0.15,
  shock: 0.55,
  lowSpeedFriction: 1.1,
  endEfficiency: 0.5,
  topTipSpeed: 520,
};

export const MACHINES: readonly MachineShape[] = [
  { ...BASE, name: 'small 42', exducerM: 0.042, inducerM: 0.0325, widthRatio: 0.072 },
  { ...BASE, name: 'middle 52', exducerM: 0.052, inducerM: 0.039, backsweepDeg: 30, chokeSharpness: 6, incidence: 0.7 },
  { ...BASE, name: 'wide 58', surgeShareLow: 0.72, surgeShareHigh: 0.6, backsweepDeg: 42, chokeSharpness: 5 },
  {
    ...BASE,
    name: 'narrow 62',
    exducerM: 0.062,
    inducerM: 0.047,
    chokeSharpness: 14,
    surgeShareLow: 0.4,
    surgeShareHigh: 0.22,
    diffuser: 0.7,
  },
  {
    ...BASE,
    name: 'rising 66',
    exducerM: 0.066,
    inducerM: 0.05,
    backsweepDeg: 18,
    incidence: 1.9,
    surgeShareLow: 0.7,
    surgeShareHigh: 0.55,
  },
  {
    ...BASE,
    name: 'large 76',
    exducerM: 0.076,
    inducerM: 0.0575,
    widthRatio: 0.064,
    backsweepDeg: 38,
    chokeSharpness: 8,
    topTipSpeed: 560,
  },
];
