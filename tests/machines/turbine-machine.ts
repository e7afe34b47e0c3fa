import type { TurbineSheet } from '../../src/turbine/types.ts';

/**
 * A vaneless radial turbine along its mean line, made apart from src/turbine: it goes from the flow to the expansion ratio (the product goes
 * the other way), with the gas stand's gamma, losses in volute and rotor, incidence about an optimum, blockage, leakage and windage.
 * Invented; forms as in Dixon & Hall ch. 8 and Whitfield & Baines, Design of Radial Turbomachines (from memory), constants chosen.
 * Total state before the turbine is 1: pressures over p03, temperatures over T03, speeds over sqrt(R T03), flows are W sqrt(R T03)/p03 in m2.
 */
export interface TurbineShape {
  name: string;
  inducerM: number;
  exducerM: number;
  areaRadiusM: number;
  tipHeightM: number;
  hubShare: number;
  /** Relative angle of the flow behind the rotor from the axis. */
  exitAngleDeg: number;
  throatRadiusShare: number;
  swirlCoefficient: number;
  voluteLoss: number;
  passageLoss: number;
  leak: number;
}

const GAMMA = 1.36;
const CP = GAMMA / (GAMMA - 1);
const BLOCKAGE = 0.1;
/** Of W_theta over C_r where the gas meets radial blades best: about -25 degrees. */
const BEST_INCIDENCE = 0.47;
const WINDAGE = 1.6e-3;

export interface TurbinePoint {
  expansionRatio: number;
  efficiency: number;
}

/** Smallest velocity at which rho v = flux, rho falling with v; null beyond the sonic maximum. */
function slowest(flux: (velocity: number) => number, wanted: number, most: number): number | null {
  const N = 400;
  let before = 0;
  for (let i = 1; i <= N; i++) {
    const v = (most * i) / N;
    if (flux(v) < wanted) {
      if (flux(v) < flux((most * (i - 1)) / N)) return null;
      before = v;
      continue;
    }
    let low = before;
    let high = v;
    for (let k = 0; k < 50; k++) {
      const middle = (low + high) / 2;
      if (flux(middle) < wanted) low = middle;
      else high = middle;
    }
    return (low + high) / 2;
  }
  return null;
}

/** The machine at a flow and a tip speed U2/sqrt(R T03); null where it does not pass the flow. */
export function turbineAt(shape: TurbineShape, flowM2: number, tip: number): TurbinePoint | null {
  const radius = shape.inducerM / 2;
  const throat = slowest(
    (c) => (1 - (c * c) / (2 * CP)) ** (CP - 1) * shape.areaRadiusM * shape.throatRadiusShare * radius * c,
    flowM2,
    Math.sqrt(2 * CP),
  );
  if (throat === null) return null;
  const swirl = shape.swirlCoefficient * throat * shape.throatRadiusShare;
  const total = 1 - (shape.voluteLoss * (1 - (throat * throat) / (2 * CP)) ** (CP - 1) * throat * throat) / 2;
  const left = 1 - (swirl * swirl) / (2 * CP);
  if (left <= 0) return null;
  const tipArea = 2 * Math.PI * radius * shape.tipHeightM * (1 - BLOCKAGE);
  const radial = slowest(
    (c) => total * Math.max(0, left - (c * c) / (2 * CP)) ** (CP - 1) * tipArea * c,
    flowM2,
    Math.sqrt(2 * CP * left),
  );
  return radial === null ? null : rotor(shape, { flowM2, tip, swirl, radial, total });
}

interface AtTip {
  flowM2: number;
  tip: number;
  swirl: number;
  radial: number;
  total: number;
}

function rotor(shape: TurbineShape, { flowM2, tip, swirl, radial, total }: AtTip): TurbinePoint | null {
  const hub = shape.hubShare;
  const area = (Math.PI / 4) * shape.exducerM ** 2 * (1 - hub * hub);
  const angle = (shape.exitAngleDeg * Math.PI) / 180;
  const outletTip = ((tip * shape.exducerM) / shape.inducerM) * Math.sqrt((1 + hub * hub) / 2);
  const incidence = (swirl - tip + BEST_INCIDENCE * radial) ** 2 / 2;
  const relativeIn = (swirl - tip) ** 2 + radial * radial;
  const relativeTotal = 1 - (tip * swirl - outletTip ** 2 / 2) / CP;
  const backPressure = (w: number): number => {
    const loss = incidence + shape.passageLoss * 0.5 * (relativeIn + w * w);
    return total * Math.max(0, relativeTotal - (w * w) / (2 * CP) - loss / CP) ** CP;
  };
  const flux = (w: number) => (backPressure(w) * area * Math.cos(angle) * w) / (relativeTotal - (w * w) / (2 * CP));
  const relativeOut = slowest(flux, flowM2 * (1 - shape.leak), 0.98 * Math.sqrt(2 * CP * Math.max(0, relativeTotal)));
  if (relativeOut === null) return null;
  const back = backPressure(relativeOut);
  const drop = CP * (1 - back ** (1 / CP));
  const work = (1 - shape.leak) * (tip * swirl - outletTip * (outletTip - relativeOut * Math.sin(angle)));
  const windage = (WINDAGE * tip ** 3 * shape.inducerM ** 2) / flowM2;
  return { expansionRatio: 1 / back, efficiency: (work - windage) / drop };
}

/** Flow and efficiency at an expansion ratio; null where the machine has none (choked below it, or turning too fast for it). */
export function turbineFlow(
  shape: TurbineShape,
  expansionRatio: number,
  tip: number,
): { flowM2: number; efficiency: number } | null {
  // Expansion rises with flow; beyond choking there is none.
  let low = 0;
  let high = shape.areaRadiusM * shape.inducerM;
  for (let i = 0; i < 60; i++) {
    const flow = (low + high) / 2;
    const point = turbineAt(shape, flow, tip);
    if (point === null || point.expansionRatio > expansionRatio) high = flow;
    else low = flow;
  }
  const point = turbineAt(shape, low, tip);
  if (point === null || Math.abs(point.expansionRatio / expansionRatio - 1) > 1e-6) return null;
  return { flowM2: low, efficiency: point.efficiency };
}

/** Most that the machine passes at a tip speed, m2, and the expansion ratio there. */
export function turbineChoke(shape: TurbineShape, tip: number): { flowM2: number; expansionRatio: number } {
  let low = 0;
  let high = shape.areaRadiusM * shape.inducerM;
  for (let i = 0; i < 60; i++) {
    const flow = (low + high) / 2;
    if (turbineAt(shape, flow, tip) === null) high = flow;
    else low = flow;
  }
  return { flowM2: low, expansionRatio: turbineAt(shape, low, tip)!.expansionRatio };
}

export interface SheetReading {
  source: string;
  reference: { temperatureK: number; pressurePa: number };
  /** Corrected speed of a line, and U/C0 at its points from the least expansion ratio to the most. */
  lines: readonly (readonly [speedRpm: number, speedRatios: readonly number[]])[];
  decimals: { ratio: number; flow: number; efficiency: number };
}

const R = 287.05;

/** Expansion ratio at which a tip speed is a share of the spouting velocity. */
export function ratioAt(tip: number, speedRatio: number): number {
  return (1 - (tip / speedRatio) ** 2 / (2 * CP)) ** -CP;
}

/** Tip speed over sqrt(R T03) at a corrected speed. */
export const tipSpeedAt = (shape: TurbineShape, correctedRpm: number, referenceK: number): number =>
  (Math.PI * shape.inducerM * correctedRpm) / 60 / Math.sqrt(R * referenceK);

/** The machine read as a person reads a sheet: corrected flow in kg/s to the sheet's decimals. Points it does not reach are left out. */
export function turbineSheet(shape: TurbineShape, reading: SheetReading): TurbineSheet {
  const { reference, decimals } = reading;
  const correctedFlow = reference.pressurePa / Math.sqrt(R * reference.temperatureK);
  const round = (value: number, places: number) => Number(value.toFixed(places));
  return {
    name: shape.name,
    source: reading.source,
    invented: true,
    flow: { kind: 'corrected', unit: 'kg/s', reference },
    lines: reading.lines.map(([speedRpm, speedRatios]) => {
      const tip = tipSpeedAt(shape, speedRpm, reference.temperatureK);
      const points = speedRatios.flatMap((speedRatio) => {
        const expansionRatio = round(ratioAt(tip, speedRatio), decimals.ratio);
        const found = turbineFlow(shape, expansionRatio, tip);
        if (found === null) return [];
        const flow = round(found.flowM2 * correctedFlow, decimals.flow);
        return [{ expansionRatio, flow, efficiency: round(found.efficiency, decimals.efficiency) }];
      });
      return { speedRpm, points };
    }),
  };
}
