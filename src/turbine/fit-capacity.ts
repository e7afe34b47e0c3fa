import { checkTurbineSheet, type TurbineProblem } from './check-sheet.ts';
import { fitLaw } from './fit-law.ts';
import { type CapacityKnots, FittedCapacity } from './fitted-capacity.ts';
import { risingValues } from './rising-flows.ts';
import { flowParameterFactor, reducedSpeedFactor } from './sheet-units.ts';
import type { CapacityLine, TurbineCapacity, TurbineLine, TurbineSheet } from './types.ts';

export type CapacityFit =
  | { ok: true; capacity: TurbineCapacity; notes: readonly string[] }
  | { ok: false; problems: readonly TurbineProblem[] };

/** Falls beyond this are said; less is the reading. */
const FALL_TOLD = 0.01;

/**
 * Swallowing capacity from the points of a sheet. An isentropic nozzle (gamma 4/3) that sees a part of the expansion, less what the
 * rotation holds back (`CapacityLaw`), is fitted to all points by robust least squares; its area is then corrected along each line so
 * that the entered points are met. Lines are told apart by reduced speed; where a line has none, all points make one curve. Flow that falls
 * with rising expansion is levelled to its mean.
 * That the gas stand's air (gamma near 1.35 to 1.4) and the engine's exhaust (near 1.3) choke at slightly different flows is left out:
 * under 2 % in the flow parameter.
 * @param sheet in its own units; any numbers, also NaN
 * @returns the capacity with notes in plain words, or the problems in the order of the sheet. Never throws.
 */
export function fitCapacity(sheet: TurbineSheet): CapacityFit {
  const problems = checkTurbineSheet(sheet);
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
  if (worst.fall <= FALL_TOLD) return;
  notes.push(
    `${name}: at expansion ratio ${Number(worst.ratio.toPrecision(4))} the flow is ${(100 * worst.fall).toFixed(1)} % less than at a lower one, which no turbine does. The curve is levelled there: check the points.`,
  );
}

const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;
