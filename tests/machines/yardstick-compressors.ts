import type { MapSheet } from '../../src/compressor/types.ts';

/**
 * Nine exact compressors that nothing was tuned on, each of another form: other choke laws (a logarithm, a rational pole, a vertical wall,
 * two throats in series, a smooth minimum), other surge sides (a rising cubic, a ported shroud's bleed, a falling line), other losses, read
 * in four flow units with 5 to 12 lines of 4 to 14 points, evenly spaced or not, to choke or not. Written by who did not tune the surface and
 * measured once, at the end. Invented; where a form is published it says so (from memory).
 */
export interface YardstickMachine {
  name: string;
  topRpm: number;
  /** Place on a speed line: 0 its surge end, 1 its choke end as drawn. */
  at(speedRpm: number, along: number): { flowKgPerS: number; pressureRatio: number; efficiency: number };
  lines: readonly number[];
  points: number;
  /** Share of the line at which each line's last point lies: 1, or short of choke. */
  ends?: readonly number[];
  unit: 'kg/s' | 'lb/min' | 'm3/s' | 'cfm';
}

const SOUND = 346.1;
const CP = 1004.6;
const T0 = 298.15;
const DENSITY = 1e5 / (287.05 * T0);

interface Form {
  name: string;
  diameterM: number;
  topMach: number;
  /** Flow coefficient W / (rho D^2 U) of both ends of a line at a tip Mach number, as drawn. */
  ends(mach: number): readonly [number, number];
  /** Isentropic head coefficient dh / U^2 and efficiency at a flow coefficient. */
  head(phi: number, mach: number): number;
  efficiency(phi: number, mach: number): number;
}

const even = (from: number, count: number) =>
  Array.from({ length: count }, (_, i) => from + ((1 - from) * i) / (count - 1));

function machine(form: Form, reading: Pick<YardstickMachine, 'lines' | 'points' | 'unit' | 'ends'>): YardstickMachine {
  const topRpm = (form.topMach * SOUND * 60) / (Math.PI * form.diameterM);
  return {
    name: form.name,
    topRpm,
    ...reading,
    at(speedRpm, along) {
      const tip = (Math.PI * form.diameterM * speedRpm) / 60;
      const mach = tip / SOUND;
      const [surge, choke] = form.ends(mach);
      const phi = surge + along * (choke - surge);
      return {
        flowKgPerS: phi * DENSITY * form.diameterM ** 2 * tip,
        pressureRatio: (1 + (form.head(phi, mach) * tip * tip) / (CP * T0)) ** 3.5,
        efficiency: form.efficiency(phi, mach),
      };
    },
  };
}

const hump = (phi: number, mach: number, best: (m: number) => number, top: number, left: number, right: number) => {
  const x = phi / best(mach) - 1;
  return top - (x < 0 ? left : right) * x * x * (1 + 0.25 * x) - 0.1 * (mach - 1.02) ** 2;
};

/** Choke by a logarithm: the knee is sharp at any speed. */
const logarithm: Form = {
  name: 'logarithmic choke 49',
  diameterM: 0.049,
  topMach: 1.52,
  ends: (m) => [0.05 + 0.022 * m * m * 0.6, 0.9965 * (0.128 + 0.018 * (1 - Math.exp(-1.8 * m * m)))],
  head: (phi, m) => {
    const choke = 0.128 + 0.018 * (1 - Math.exp(-1.8 * m * m));
    return 0.555 + 0.9 * phi - 11 * phi * phi + 0.05 * Math.log(1 - (phi / choke) ** 9) + 0.02 * m;
  },
  efficiency: (phi, m) => {
    const choke = 0.128 + 0.018 * (1 - Math.exp(-1.8 * m * m));
    return hump(phi, m, (x) => 0.083 + 0.014 * x, 0.765, 0.5, 0.4) + 0.055 * Math.log(1 - (phi / choke) ** 9);
  },
};

/** Rational: psi = (k1 + k2 phi) / (k3 - phi) with k in Mach (form of Jensen and others, SAE 910890, from memory). */
const rational: Form = {
  name: 'rational 57',
  diameterM: 0.057,
  topMach: 1.48,
  ends: (m) => [0.042 + 0.021 * m, 0.138 + 0.012 * m],
  head: (phi, m) => {
    const zero = 0.149 + 0.0125 * m;
    const pole = 0.158 + 0.015 * m;
    return ((0.6 + 0.015 * m) * (1 - phi / zero)) / (1 - phi / pole);
  },
  efficiency: (phi, m) => hump(phi, m, (x) => 0.084 + 0.012 * x, 0.775, 0.44, 0.7),
};

/** Moore and Greitzer's cubic (J. Eng. Gas Turbines Power 108, 1986, from memory) left of its top, so that lines rise, cut by a smooth wall. */
const cubic: Form = {
  name: 'rising cubic 63',
  diameterM: 0.063,
  topMach: 1.44,
  ends: (m) => [0.046 + 0.016 * m, 0.93 * (0.134 + 0.006 * m)],
  head: (phi, m) => {
    const half = 0.034 + 0.007 * m;
    const x = phi / half - 1;
    const wall = (phi / (0.134 + 0.006 * m)) ** 14 * 0.3;
    return 0.4 + 0.09 * (1 + 1.5 * Math.min(x, 4) - 0.5 * x ** 3) - 0.004 * x ** 2 + 0.03 * m - wall;
  },
  efficiency: (phi, m) =>
    hump(phi, m, (x) => 0.08 + 0.009 * x, 0.752, 0.55, 0.6) - 0.1 * (phi / (0.134 + 0.006 * m)) ** 14,
};

/** Ported shroud: the slot bleeds flow back below its own flow; lines reach far left, with a soft shelf in head and efficiency. */
const ported: Form = {
  name: 'ported shroud 71',
  diameterM: 0.071,
  topMach: 1.58,
  ends: (m) => [0.026 + 0.014 * m * m * 0.5, 0.985 * (0.115 + 0.02 * Math.tanh(m))],
  head: (phi, m) => {
    const slot = 0.062 + 0.012 * m;
    const bled = phi + 0.35 * Math.log1p(Math.exp((slot - phi) / 0.008)) * 0.008;
    const choke = 0.115 + 0.02 * Math.tanh(m);
    return 0.56 - 4.2 * (bled - 0.055) ** 2 * 9 + 0.018 * m - 0.16 * (phi / choke) ** 11;
  },
  efficiency: (phi, m) => {
    const slot = 0.062 + 0.012 * m;
    const loss = 0.07 / (1 + Math.exp((phi - slot + 0.012) / 0.006));
    return (
      hump(phi, m, (x) => 0.079 + 0.01 * x, 0.782, 0.28, 0.7) -
      loss -
      0.13 * (phi / (0.115 + 0.02 * Math.tanh(m))) ** 11
    );
  },
};

/** Two throats: the diffuser's chokes first at low speed, the inducer's at high speed; a smooth minimum of both. */
const twoThroats: Form = {
  name: 'two throats 54',
  diameterM: 0.054,
  topMach: 1.5,
  ends: (m) => [0.047 + 0.03 * m * m * 0.55, 0.955 * throats(m)],
  head: (phi, m) => {
    const x = phi / throats(m);
    return 0.6 - 0.9 * phi - 0.75 * (phi - 0.04) ** 2 - 0.09 * (x ** 8 / (1.06 - x ** 8));
  },
  efficiency: (phi, m) => {
    const x = phi / throats(m);
    return hump(phi, m, (y) => 0.074 + 0.014 * y, 0.77, 0.42, 0.35) - 0.045 * (x ** 8 / (1.06 - x ** 8));
  },
};
function throats(m: number): number {
  const diffuser = 0.088 * (1 + 0.19 * m * m) ** 1.4;
  const inducer = (0.196 / m) * ((1 + 0.11 * m * m) / 1.2) ** 3;
  return (diffuser ** -10 + inducer ** -10) ** -0.1;
}

/** Low trim, vaned: a narrow range, a wall for choke. */
const narrow: Form = {
  name: 'narrow, walled 46',
  diameterM: 0.046,
  topMach: 1.55,
  ends: (m) => [0.067 + 0.013 * m, 0.9985 * (0.1 + 0.012 * m - 0.0012 * m ** 3)],
  head: (phi, m) => {
    const x = phi / (0.1 + 0.012 * m - 0.0012 * m ** 3);
    return 0.69 - 0.14 * x * x - 0.26 * (1 - Math.sqrt(1 - x ** 30));
  },
  efficiency: (phi, m) => {
    const x = phi / (0.1 + 0.012 * m - 0.0012 * m ** 3);
    return 0.79 - 0.6 * (x - 0.9) ** 2 - 0.06 * (m - 1.1) ** 2 - 0.3 * (1 - Math.sqrt(1 - x ** 30));
  },
};

/** High trim with strong backsweep: falling from surge on, choke soft. */
const falling: Form = {
  name: 'falling 68',
  diameterM: 0.068,
  topMach: 1.4,
  ends: (m) => [0.038 + 0.024 * m, 0.136 - 0.004 * m],
  head: (phi, m) => 0.66 - 2.2 * phi - 11 * phi * phi - 190 * phi ** 4 + 0.015 * m * m,
  efficiency: (phi, m) => hump(phi, m, (x) => 0.087 + 0.004 * x, 0.8, 0.4, 0.5),
};

/** Shock-limited: the head falls with the square of the excess of a local Mach number, and the range closes fast at speed. */
const shocked: Form = {
  name: 'shock-limited 51',
  diameterM: 0.051,
  topMach: 1.62,
  ends: (m) => [0.04 + 0.032 * m * m * 0.5, 0.133 - 0.012 * Math.max(0, m - 0.9) ** 1.5],
  head: (phi, m) => {
    const local = Math.hypot(m * 0.72, 8.2 * phi * m);
    const over = Math.log1p(Math.exp(14 * (local - 1.28))) / 14;
    return 0.615 - 0.5 * phi - 14 * (phi - 0.05) ** 2 - 0.45 * over * over - 40 * Math.max(0, phi - 0.1) ** 2;
  },
  efficiency: (phi, m) => {
    const local = Math.hypot(m * 0.72, 8.2 * phi * m);
    const over = Math.log1p(Math.exp(14 * (local - 1.28))) / 14;
    return 0.785 - 46 * (phi - 0.081) ** 2 - 0.24 * over * over - 0.05 * (m - 0.9) ** 2;
  },
};

/** Blunt: a tilted superellipse about a head that is not zero, so that the wall ends at a pressure. */
const blunt: Form = {
  name: 'blunt 60',
  diameterM: 0.06,
  topMach: 1.46,
  ends: (m) => [0.05 + 0.02 * m, 0.999 * (0.125 + 0.011 * m)],
  head: (phi, m) => {
    const x = phi / (0.125 + 0.011 * m);
    return 0.21 + 0.4 * (1 - x ** (7 + 2 * m)) ** 0.45 - 0.1 * (x - 0.6) + 0.012 * m;
  },
  efficiency: (phi, m) => {
    const x = phi / (0.125 + 0.011 * m);
    return 0.4 + 0.365 * (1 - x ** (8 + 2 * m)) ** 0.35 - 0.7 * (x - 0.68) ** 2 - 0.06 * (m - 1) ** 2;
  },
};

export const YARDSTICK: readonly YardstickMachine[] = [
  machine(logarithm, { lines: even(0.3, 9), points: 9, unit: 'lb/min' }),
  machine(rational, { lines: even(0.6, 5), points: 14, unit: 'cfm' }),
  machine(cubic, { lines: [0.34, 0.45, 0.6, 0.68, 0.8, 0.87, 0.94, 1], points: 8, unit: 'kg/s' }),
  machine(ported, { lines: even(0.35, 12), points: 7, unit: 'm3/s' }),
  machine(twoThroats, {
    lines: even(0.4, 8),
    points: 10,
    unit: 'lb/min',
    ends: [1, 0.93, 0.97, 0.9, 1, 0.95, 0.88, 0.96],
  }),
  machine(narrow, { lines: even(0.45, 7), points: 8, unit: 'kg/s' }),
  machine(falling, { lines: even(0.3, 6), points: 4, unit: 'm3/s' }),
  machine(shocked, {
    lines: [0.36, 0.5, 0.58, 0.7, 0.82, 0.86, 0.93, 1],
    points: 9,
    unit: 'cfm',
    ends: [1, 1, 0.95, 0.92, 1, 0.9, 0.94, 0.97],
  }),
  machine(blunt, { lines: even(0.5, 7), points: 11, unit: 'lb/min' }),
];

const KG_PER_S: Readonly<Record<YardstickMachine['unit'], number>> = {
  'kg/s': 1,
  'lb/min': 0.45359237 / 60,
  'm3/s': DENSITY,
  cfm: (0.3048 ** 3 / 60) * DENSITY,
};

/** Three digits of the axis: what a careful reader writes down. */
function rounded(value: number, largest: number): number {
  const step = 10 ** (Math.ceil(Math.log10(largest)) - 3);
  return Number((Math.round(value / step) * step).toPrecision(12));
}

export function speedsOf(of: YardstickMachine): number[] {
  return of.lines.map((share) => Math.round((share * of.topRpm) / 1000) * 1000);
}

/** The machine's sheet as it would be typed: flow to three digits of the axis, ratio to 0.01, efficiency to 0.1 point. */
export function yardstickSheet(of: YardstickMachine, unit = of.unit): MapSheet {
  const speeds = speedsOf(of);
  const largest = Math.max(...speeds.map((rpm) => of.at(rpm, 1).flowKgPerS / KG_PER_S[unit]));
  return {
    format: 'lugline-map',
    version: 1,
    name: of.name,
    source: 'exact machine of the tests',
    invented: true,
    reference: { temperatureK: T0, pressurePa: 100000 },
    flowUnit: unit,
    speedLines: speeds.map((speedRpm, line) => ({
      speedRpm,
      points: Array.from({ length: of.points }, (_, k) => {
        const p = of.at(speedRpm, ((of.ends?.[line] ?? 1) * k) / (of.points - 1));
        return {
          flow: rounded(p.flowKgPerS / KG_PER_S[unit], largest),
          pressureRatio: Number(p.pressureRatio.toFixed(2)),
          efficiency: Number(p.efficiency.toFixed(3)),
        };
      }),
    })),
  };
}
