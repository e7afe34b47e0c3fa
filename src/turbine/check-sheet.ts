import type { TurbineSheet } from './types.ts';

export interface TurbineProblem {
  /** From the sheet: 'lines[0].points[2].flow'. */
  path: string;
  /** What, where, what to do. */
  message: string;
}

/** A reference state outside these is a slip of unit: gas stands refer to room or to standard conditions (common practice, no source). */
const REFERENCE_K = [200, 400] as const;
const REFERENCE_PA = [50_000, 200_000] as const;
/** Flows at one expansion ratio of a line may differ by the reading; more is a contradiction. */
export const SAME_RATIO_SPREAD = 0.01;

const known = (value: number): boolean => Number.isFinite(value);

/** What keeps a sheet from being fitted, in plain words, in the order of the sheet; empty when it can be fitted. Never throws. */
export function checkTurbineSheet(sheet: TurbineSheet): TurbineProblem[] {
  const problems: TurbineProblem[] = [];
  const add = (path: string, message: string) => problems.push({ path, message });
  checkReference(sheet, add);
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

function checkReference({ flow }: TurbineSheet, add: Add): void {
  if (flow.kind !== 'corrected') return;
  const { temperatureK, pressurePa } = flow.reference;
  if (!(temperatureK >= REFERENCE_K[0] && temperatureK <= REFERENCE_K[1])) {
    const what = known(temperatureK) ? `is ${Number(temperatureK.toFixed(2))} K, which no sheet uses` : 'is missing';
    add(
      'flow.reference.temperatureK',
      `The reference temperature of the corrected flow ${what}. Enter the one printed on the sheet (often 288.15 or 298.15 K).`,
    );
  }
  if (!(pressurePa >= REFERENCE_PA[0] && pressurePa <= REFERENCE_PA[1])) {
    const what = known(pressurePa)
      ? `is ${Number((pressurePa / 1000).toFixed(3))} kPa, which no sheet uses`
      : 'is missing';
    add(
      'flow.reference.pressurePa',
      `The reference pressure of the corrected flow ${what}. Enter the one printed on the sheet (often 101.325 or 100 kPa).`,
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
