import { formatPrinted } from '../units/index.ts';
import { type CapacityKnots, FittedCapacity } from './fitted-capacity.ts';
import { type CapacityLaw, drivingLog, EXHAUST_NOZZLE, flowParameterFactor, reducedSpeedFactor } from './laws.ts';
import type { CapacityLine, TurbineCapacity, TurbineLine, TurbineSheet } from './types.ts';

interface TurbineProblem {
  /** From the sheet: 'lines[0].points[2].flow'. */
  path: string;
  /** What, where, what to do. */
  message: string;
}

/** A reference state outside these is a slip of unit: gas stands refer to room or to standard conditions (common practice, no source). */
const REFERENCE_K = [200, 400] as const;
const REFERENCE_PA = [50_000, 200_000] as const;
/** Flows at one expansion ratio of a line may differ by the reading; more is a contradiction. */
const SAME_RATIO_SPREAD = 0.01;

const known = (value: number): boolean => Number.isFinite(value);

/** Units (keys of src/units) in which is spoken of a sheet: of its reference state, and of openings. */
export interface TurbineWordUnits {
  temperature: string;
  pressure: string;
  opening: string;
}

export const SI_WORDS: TurbineWordUnits = { temperature: 'K', pressure: 'kPa', opening: 'mm2' };

/** What keeps a sheet from being fitted, in plain words, in the order of the sheet; empty when it can be fitted. Never throws. */
export function checkTurbineSheet(sheet: TurbineSheet, units = SI_WORDS): TurbineProblem[] {
  const problems: TurbineProblem[] = [];
  const add = (path: string, message: string) => problems.push({ path, message });
  checkReference(sheet, units, add);
  if (!sheet.lines.some((line) => line.points.length > 0)) {
    add('lines', 'The turbine sheet has no point. Enter at least one: an expansion ratio and the flow there.');
  }
  sheet.lines.forEach((line, l) => {
    const name = `Line ${l + 1}`;
    if (line.speedRpm !== undefined && !(known(line.speedRpm) && line.speedRpm > 0)) {
      add(`lines[${l}].speedRpm`, `${name}: the speed is not above zero. Enter it in rpm as read, or leave it empty.`);
    }
    line.points.forEach((p, i) => {
      checkPoint(p, `lines[${l}].points[${i}]`, `${name}, point ${i + 1}`, add);
    });
    checkRepeats(line.points, l, add);
  });
  return problems;
}

type Add = (path: string, message: string) => void;

function checkReference({ flow }: TurbineSheet, units: TurbineWordUnits, add: Add): void {
  if (flow.kind !== 'corrected') return;
  const { temperatureK, pressurePa } = flow.reference;
  const usual = (values: readonly number[], say: (si: number) => string) => `often ${values.map(say).join(' or ')}`;
  if (!(temperatureK >= REFERENCE_K[0] && temperatureK <= REFERENCE_K[1])) {
    const say = (si: number) => formatPrinted(si, 'temperature', units.temperature);
    const what = known(temperatureK) ? `is ${say(temperatureK)}, which no sheet uses` : 'is missing';
    add(
      'flow.reference.temperatureK',
      `The reference temperature of the corrected flow ${what}. Enter the one printed on the sheet (${usual([288.15, 298.15], say)}).`,
    );
  }
  if (!(pressurePa >= REFERENCE_PA[0] && pressurePa <= REFERENCE_PA[1])) {
    const say = (si: number) => formatPrinted(si, 'pressure-absolute', units.pressure);
    const what = known(pressurePa) ? `is ${say(pressurePa)}, which no sheet uses` : 'is missing';
    add(
      'flow.reference.pressurePa',
      `The reference pressure of the corrected flow ${what}. Enter the one printed on the sheet (${usual([101_325, 100_000], say)}).`,
    );
  }
}

type Point = TurbineSheet['lines'][number]['points'][number];

function checkPoint(point: Point, path: string, name: string, add: Add): void {
  const { expansionRatio: ratio, flow, efficiency } = point;
  if (!known(ratio)) {
    add(`${path}.expansionRatio`, `${name}: the expansion ratio is not a number. Enter it or delete the point.`);
  } else if (ratio <= 1) {
    const read = Number(ratio.toPrecision(6));
    add(
      `${path}.expansionRatio`,
      `${name}: the expansion ratio ${read} is not above 1. It is the pressure before the turbine over that behind it, both absolute: check it, or delete the point.`,
    );
  }
  if (!known(flow)) add(`${path}.flow`, `${name}: the flow is not a number. Enter it or delete the point.`);
  else if (flow <= 0)
    add(`${path}.flow`, `${name}: the flow is not above zero. Enter it as read, or delete the point.`);
  if (efficiency === undefined || (efficiency > 0 && efficiency < 1)) return;
  const percent = efficiency > 1.5 && efficiency <= 100;
  const doubt = percent
    ? `looks like percent: ${Number((efficiency / 100).toFixed(4))} is probably meant`
    : 'is not between 0 and 1. Check it, or leave it empty';
  const value = known(efficiency) ? ` ${Number(efficiency.toPrecision(6))}` : '';
  add(`${path}.efficiency`, `${name}: the efficiency${value} ${doubt}.`);
}

function checkRepeats(points: readonly Point[], line: number, add: Add): void {
  points.forEach((p, i) => {
    const earlier = points.findIndex(
      (q, j) => j < i && q.expansionRatio === p.expansionRatio && Math.abs(q.flow / p.flow - 1) > SAME_RATIO_SPREAD,
    );
    if (earlier < 0 || !(p.flow > 0 && p.expansionRatio > 1) || !known(p.expansionRatio) || !known(p.flow)) return;
    add(
      `lines[${line}].points[${i}].flow`,
      `Line ${line + 1}, points ${earlier + 1} and ${i + 1}: both are at expansion ratio ${Number(p.expansionRatio.toPrecision(6))} but their flows differ. Correct or delete one of them.`,
    );
  });
}

type CapacityFit =
  | { ok: true; capacity: TurbineCapacity; notes: readonly string[] }
  | { ok: false; problems: readonly TurbineProblem[] };

/** Falls beyond this are said; less is the reading. */
const LEAST_FALL = 0.01;

/**
 * Flow capacity from the points of a sheet. An isentropic nozzle (gamma 4/3) that sees a part of the expansion, less what the
 * rotation holds back (`CapacityLaw`), is fitted to all points by robust least squares; its area is then corrected along each line so
 * that the entered points are met. Lines are told apart by reduced speed; where a line has none, all points make one curve. Flow that falls
 * with rising expansion is levelled to its mean.
 * That the gas stand's air (gamma near 1.35 to 1.4) and the engine's exhaust (near 1.3) choke at slightly different flows is left out:
 * under 2 % in the flow parameter.
 * @param sheet in its own units; any numbers, also NaN
 * @returns the capacity with notes in plain words, or the problems in the order of the sheet. Never throws.
 */
export function fitCapacity(sheet: TurbineSheet, units = SI_WORDS): CapacityFit {
  const problems = checkTurbineSheet(sheet, units);
  if (problems.length > 0) return { ok: false, problems };
  const notes: string[] = [];
  const lines = groupLines(sheet, notes).map((line) => toKnots(line, notes));
  const law = fitLaw(
    lines.flatMap(({ line, knots }) => knots.map((knot) => ({ ...knot, reducedSpeed: line.reducedSpeed }))),
  );
  const count = lines.reduce((sum, { line }) => sum + line.points.length, 0);
  if (count === 1) {
    notes.push(
      `The sheet has one point: the curve through it is that of a usual turbine (exponent ${law.exponent.toFixed(1)}). Two or more points give the curve its own shape.`,
    );
  }
  return { ok: true, capacity: new FittedCapacity('sheet', 0, law, lines), notes };
}

/** A line in SI, in rising expansion ratio, with what to call it. */
type NamedLine = CapacityLine & { name: string };

function groupLines(sheet: TurbineSheet, notes: string[]): NamedLine[] {
  const used = sheet.lines.filter((line) => line.points.length > 0);
  const withSpeed = used.filter((line) => line.speedRpm !== undefined);
  if (withSpeed.length < used.length) {
    if (withSpeed.length > 0) {
      notes.push(
        `${used.length - withSpeed.length} of ${used.length} lines ${used.length - withSpeed.length === 1 ? 'has' : 'have'} no speed, so all points are taken as one curve. Enter the missing speeds to tell the lines apart.`,
      );
    }
    return [{ ...inSi(sheet, used, null), name: 'The points' }];
  }
  const bySpeed = new Map<number, TurbineLine[]>();
  for (const line of used) bySpeed.set(line.speedRpm!, [...(bySpeed.get(line.speedRpm!) ?? []), line]);
  return [...bySpeed]
    .sort(([a], [b]) => a - b)
    .map(([speed, lines]) => {
      const name = `Line ${Number(speed.toPrecision(6))} rpm`;
      if (lines.length > 1)
        notes.push(`${name} stands ${lines.length} times on the sheet: its points are taken together.`);
      return { ...inSi(sheet, lines, speed), name };
    });
}

function inSi(sheet: TurbineSheet, lines: readonly TurbineLine[], speed: number | null): CapacityLine {
  const factor = flowParameterFactor(sheet);
  const points = lines
    .flatMap((line) => line.points)
    .map(({ expansionRatio, flow, efficiency }) => ({
      expansionRatio,
      flowParameterM2: flow * factor,
      efficiency: efficiency ?? null,
    }))
    .sort((a, b) => a.expansionRatio - b.expansionRatio || a.flowParameterM2 - b.flowParameterM2);
  return { reducedSpeed: speed === null ? null : speed * reducedSpeedFactor(sheet), points };
}

function toKnots({ name, ...line }: NamedLine, notes: string[]): CapacityKnots {
  const at = new Map<number, { flows: number[]; efficiencies: number[] }>();
  for (const p of line.points) {
    const here = at.get(p.expansionRatio) ?? { flows: [], efficiencies: [] };
    at.set(p.expansionRatio, here);
    here.flows.push(p.flowParameterM2);
    if (p.efficiency !== null) here.efficiencies.push(p.efficiency);
  }
  const ratios = [...at.keys()];
  const means = ratios.map((ratio) => mean(at.get(ratio)!.flows));
  const flows = risingValues(
    means,
    ratios.map((ratio) => at.get(ratio)!.flows.length),
  );
  noteFall(name, ratios, means, notes);
  return {
    line,
    knots: ratios.map((ratio, i) => ({ logRatio: Math.log(ratio), flowParameterM2: flows[i]! })),
    efficiencies: ratios
      .map((expansionRatio) => ({ expansionRatio, values: at.get(expansionRatio)!.efficiencies }))
      .filter(({ values }) => values.length > 0)
      .map(({ expansionRatio, values }) => ({ expansionRatio, efficiency: mean(values) })),
  };
}

function noteFall(name: string, ratios: readonly number[], flows: readonly number[], notes: string[]): void {
  let highest = 0;
  let worst = { fall: 0, ratio: 0 };
  flows.forEach((flow, i) => {
    highest = Math.max(highest, flow);
    if (1 - flow / highest > worst.fall) worst = { fall: 1 - flow / highest, ratio: ratios[i]! };
  });
  if (worst.fall <= LEAST_FALL) return;
  notes.push(
    `${name}: at expansion ratio ${Number(worst.ratio.toPrecision(4))} the flow is ${(100 * worst.fall).toFixed(1)} % less than at a lower one, which no turbine does. The curve is levelled there: check the points.`,
  );
}

const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;

/** A point as the law sees it. */
interface LawPoint {
  logRatio: number;
  /** null: not known. */
  reducedSpeed: number | null;
  flowParameterM2: number;
}

const LEAST_EXPONENT = 0.4;
const MOST_EXPONENT = 1;
/** Where points tell nothing of it: stator and rotor share the expansion a little unevenly (common practice, no source). */
const USUAL_EXPONENT = 0.6;
/** How far turbines stray from the usual: weighs little against a few points. */
const EXPONENT_STRAY = 0.25;
/**
 * What the rotation holds back of ln ER, at the middle of a sheet: (U2^2 - U3^2) / (2 R T03) over C0^2 / (2 R T03) at U/C0 near 0.6 and
 * U3 near two thirds of U2.
 */
const USUAL_HELD = 0.2;
const HELD_STRAY = 0.2;
const MOST_HELD = 0.8;

/** Points are read to about 1 % (common practice, no source); residuals beyond twice that weigh less and less (Huber). */
const READING = 0.01;
const HUBER = 2 * READING;
const GRID = 10;
const FINEST = 1 / 2048;
const WEIGHINGS = 4;

/**
 * The nozzle law by robust least squares in ln flow over all points. What the rotation holds back is sought only where points lie at two
 * speeds or more; with one, it cannot be told from the exponent.
 * @param points at least one, each with logRatio and flow above 0
 */
export function fitLaw(points: readonly LawPoint[]): CapacityLaw {
  const speeds = new Set(points.map((p) => p.reducedSpeed));
  const known = speeds.size > 1 && !speeds.has(null);
  // Per unit of the share: heldBack s^2 = share x at the middle point.
  const unit = known ? median(points.map((p) => p.logRatio / p.reducedSpeed! ** 2)) : 0;
  const cost = (exponent: number, held: number): number => {
    const stray = (exponent - USUAL_EXPONENT) / EXPONENT_STRAY;
    const heldStray = known ? (held - USUAL_HELD) / HELD_STRAY : 0;
    return misfit(points, exponent, held * unit).cost + stray * stray + heldStray * heldStray;
  };
  const [exponent, held] = lowest(cost, known);
  const { logArea } = misfit(points, exponent, held * unit);
  return { areaM2: Math.exp(logArea), exponent, heldBack: held * unit };
}

/** Robust mean of ln(flow / psi), and the sum of Huber's loss about it in units of the reading. */
function misfit(points: readonly LawPoint[], exponent: number, heldBack: number): { logArea: number; cost: number } {
  const logs = points.map((p) => {
    const driving = drivingLog(heldBack, p.logRatio, p.reducedSpeed ?? 0);
    return Math.log(p.flowParameterM2 / EXHAUST_NOZZLE.atLog(exponent * driving));
  });
  let logArea = median(logs);
  for (let round = 0; round < WEIGHINGS; round++) {
    let weights = 0;
    let sum = 0;
    for (const value of logs) {
      const weight = Math.min(1, HUBER / Math.max(Math.abs(value - logArea), 1e-12));
      weights += weight;
      sum += weight * value;
    }
    logArea = sum / weights;
  }
  const loss = (r: number) => (r <= HUBER ? r * r : HUBER * (2 * r - HUBER));
  const cost = logs.reduce((sum, value) => sum + loss(Math.abs(value - logArea)), 0) / (READING * READING);
  return { logArea, cost };
}

/** Exponent and held share of least cost: on a grid first, for the cost may have two valleys, then by steps that are halved. */
function lowest(cost: (exponent: number, held: number) => number, heldKnown: boolean): [number, number] {
  let best: [number, number] = [USUAL_EXPONENT, 0];
  let least = cost(...best);
  const attempt = (exponent: number, held: number): boolean => {
    const inside = exponent >= LEAST_EXPONENT && exponent <= MOST_EXPONENT && held >= 0 && held <= MOST_HELD;
    const value = inside ? cost(exponent, held) : Number.POSITIVE_INFINITY;
    if (!(value < least)) return false;
    least = value;
    best = [exponent, held];
    return true;
  };
  const width = MOST_EXPONENT - LEAST_EXPONENT;
  for (let i = 0; i <= GRID; i++) {
    for (let j = 0; j <= (heldKnown ? GRID : 0); j++) {
      attempt(LEAST_EXPONENT + (i * width) / GRID, (j * MOST_HELD) / GRID);
    }
  }
  for (let step = 1 / GRID; step > FINEST; ) {
    const [exponent, held] = best;
    const moves = heldKnown ? DIAGONAL : STRAIGHT;
    if (!moves.some(([a, b]) => attempt(exponent + a * step * width, held + b * step * MOST_HELD))) step /= 2;
  }
  return best;
}

const STRAIGHT = [
  [1, 0],
  [-1, 0],
] as const;
/** Along the valley of the cost as well, in which more held back goes with a larger exponent. */
const DIAGONAL = [...STRAIGHT, [0, 1], [0, -1], [1, 1], [-1, -1]] as const;

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1]!;
}

/**
 * The rising values nearest to given ones in least squares: where they fall, neighbours are pooled to their mean (pool adjacent
 * violators; Barlow et al., Statistical Inference under Order Restrictions, 1972, from memory).
 * @param weights above 0, one for each value
 */
function risingValues(values: readonly number[], weights: readonly number[]): number[] {
  const blocks: { mean: number; weight: number; count: number }[] = [];
  values.forEach((value, i) => {
    let block = { mean: value, weight: weights[i]!, count: 1 };
    for (let before = blocks.at(-1); before !== undefined && before.mean >= block.mean; before = blocks.at(-1)) {
      blocks.pop();
      const weight = before.weight + block.weight;
      const mean = (before.mean * before.weight + block.mean * block.weight) / weight;
      block = { mean, weight, count: before.count + block.count };
    }
    blocks.push(block);
  });
  return blocks.flatMap(({ mean, count }) => Array<number>(count).fill(mean));
}
