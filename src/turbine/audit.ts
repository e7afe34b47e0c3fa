import { flowParameterLabel, formatPrinted } from '../units/index.ts';
import { fitCapacity, SI_WORDS, type TurbineWordUnits } from './fit-capacity.ts';
import { flowParameterFactor, lawFlowParameter, reducedSpeedFactor } from './laws.ts';
import type { TurbineCapacity, TurbineSheet } from './types.ts';

/** Something doubtful on a sheet that can be fitted nevertheless. */
export interface TurbineRemark {
  code: 'flow-falls' | 'flow-off-curve' | 'ratio-high' | 'efficiency-doubtful' | 'speeds-unordered' | 'area-doubtful';
  /** From the sheet: 'lines[0].points[2].flow'. */
  path: string;
  /** What, where, what to do. */
  message: string;
}

/** Common practice, no source, all of these. */
const EFFICIENCY = [0.2, 0.9] as const;
const HIGHEST_RATIO = 7;
/** m2: from the smallest engines' turbines to those of large trucks. */
const AREA = [3e-5, 6e-3] as const;
/** Reading, as in the fit's notes. */
const FALL = 0.01;
const OFF_CURVE = 0.03;
const LEAST_POINTS = 4;

type Add = (code: TurbineRemark['code'], path: string, message: string) => void;

/**
 * What is doubtful on a turbine sheet, in plain words, in the order of the sheet within each kind. What keeps it from being fitted
 * (expansion ratios under 1, missing numbers) is said by `checkTurbineSheet`; then there are no remarks.
 * @param sheet in its own units; any numbers, also NaN
 * @param fitted the sheet's capacity, where it is at hand: fitting it costs most of the audit
 */
export function auditTurbineSheet(sheet: TurbineSheet, fitted?: TurbineCapacity, units = SI_WORDS): TurbineRemark[] {
  const capacity = fitted ?? capacityOf(sheet);
  if (capacity === null) return [];
  const remarks: TurbineRemark[] = [];
  const add: Add = (code, path, message) => remarks.push({ code, path, message });
  auditArea(capacity, units, add);
  auditSpeeds(sheet, add);
  auditPoints(sheet, add);
  auditFalls(sheet, add);
  auditOffCurve(sheet, capacity, add);
  return remarks;
}

function capacityOf(sheet: TurbineSheet): TurbineCapacity | null {
  const fit = fitCapacity(sheet);
  return fit.ok ? fit.capacity : null;
}

function auditArea({ law }: TurbineCapacity, { opening }: TurbineWordUnits, add: Add): void {
  if (law === undefined || (law.areaM2 >= AREA[0] && law.areaM2 <= AREA[1])) return;
  const area = formatPrinted(law.areaM2, 'opening', opening);
  add(
    'area-doubtful',
    'flow',
    `The flows are those of a nozzle of ${area}, which no turbocharger of a road engine has. Check the unit of the flow and the reference state.`,
  );
}

function auditSpeeds({ lines }: TurbineSheet, add: Add): void {
  const speeds = lines.flatMap(({ speedRpm }, line) => (speedRpm === undefined ? [] : [{ speedRpm, line }]));
  const steps = speeds.slice(1).map(({ speedRpm, line }, i) => ({ line, rises: speedRpm > speeds[i]!.speedRpm }));
  const rising = steps.filter(({ rises }) => rises).length;
  const mostly = rising >= steps.length - rising;
  const odd = steps.filter(({ rises }) => rises !== mostly)[0];
  if (odd === undefined) return;
  add(
    'speeds-unordered',
    `lines[${odd.line}].speedRpm`,
    `Line ${odd.line + 1}: its speed ${Number(lines[odd.line]!.speedRpm!.toPrecision(6))} rpm is out of order with the other lines. Check that it was not mistyped.`,
  );
}

function auditPoints({ lines }: TurbineSheet, add: Add): void {
  lines.forEach(({ points }, l) => {
    points.forEach(({ expansionRatio, efficiency }, i) => {
      const [name, path] = [`Line ${l + 1}, point ${i + 1}`, `lines[${l}].points[${i}]`];
      if (expansionRatio > HIGHEST_RATIO) {
        const read = Number(expansionRatio.toPrecision(4));
        const message = `${name}: the expansion ratio ${read} is more than one stage sees in an engine. Check it.`;
        add('ratio-high', `${path}.expansionRatio`, message);
      }
      if (efficiency === undefined || (efficiency >= EFFICIENCY[0] && efficiency <= EFFICIENCY[1])) return;
      add(
        'efficiency-doubtful',
        `${path}.efficiency`,
        `${name}: the efficiency ${Number(efficiency.toPrecision(3))} is outside ${EFFICIENCY[0]} to ${EFFICIENCY[1]}. Check it on the sheet.`,
      );
    });
  });
}

function auditFalls({ lines }: TurbineSheet, add: Add): void {
  lines.forEach(({ points }, l) => {
    const ordered = points
      .map((point, index) => ({ ...point, index }))
      .sort((a, b) => a.expansionRatio - b.expansionRatio);
    let highest = { flow: 0, expansionRatio: 1 };
    for (const point of ordered) {
      const fall = 1 - point.flow / highest.flow;
      if (fall > FALL) {
        add(
          'flow-falls',
          `lines[${l}].points[${point.index}].flow`,
          `Line ${l + 1}, point ${point.index + 1}: the flow is ${(100 * fall).toFixed(1)} % less than at the lower expansion ratio ${Number(highest.expansionRatio.toPrecision(4))}, which no turbine does. Check both points; the curve is levelled there.`,
        );
      } else if (point.flow > highest.flow) highest = point;
    }
  });
}

function auditOffCurve(sheet: TurbineSheet, { law }: TurbineCapacity, add: Add): void {
  if (law === undefined) return;
  const [toFlow, toSpeed] = [flowParameterFactor(sheet), reducedSpeedFactor(sheet)];
  sheet.lines.forEach(({ speedRpm, points }, l) => {
    const read = points.map(({ expansionRatio, flow }, index) => {
      const byLaw = lawFlowParameter(law, expansionRatio, (speedRpm ?? 0) * toSpeed);
      return { index, flow, x: Math.log(expansionRatio), y: Math.log((flow * toFlow) / byLaw) };
    });
    for (const { index, flow, off } of strayPoints(read.sort((p, q) => p.x - q.x))) {
      const by = `${(100 * Math.abs(Math.expm1(off))).toFixed(1)} % ${off > 0 ? 'above' : 'below'}`;
      const expected = Number((flow / Math.exp(off)).toPrecision(3));
      add(
        'flow-off-curve',
        `lines[${l}].points[${index}].flow`,
        `Line ${l + 1}, point ${index + 1}: the flow is ${by} the curve of its neighbours, which has ${expected} ${unitOf(sheet)} there. Check the reading.`,
      );
    }
  });
}

/** Unit of the flow column. */
function unitOf({ flow }: TurbineSheet): string {
  return flow.kind === 'corrected' ? flow.unit : flowParameterLabel(flow.pressureUnit);
}

interface StrayPoint {
  index: number;
  flow: number;
  x: number;
  y: number;
}

/**
 * Points of a line that stand off its others: measured against the straight line through the nearest two in ln(flow over the law), so that
 * what the law itself misses along a whole line is no remark. The worst is taken out before the rest are looked at; in the end, what
 * only seemed off beside a worse one is taken back.
 */
function strayPoints(ordered: readonly StrayPoint[]): (StrayPoint & { off: number })[] {
  const left = [...ordered];
  const out: StrayPoint[] = [];
  while (left.length >= LEAST_POINTS) {
    const seen = left.map((point) => ({ point, ...standOff(point, left) }));
    const worst = seen.reduce((a, b) => (b.share > a.share ? b : a));
    if (worst.share <= 1) break;
    out.push(worst.point);
    left.splice(left.indexOf(worst.point), 1);
  }
  return out
    .map((point) => ({ ...point, ...standOff(point, left) }))
    .filter(({ share }) => share > 1)
    .sort((a, b) => a.index - b.index);
}

/**
 * How far a point is off its nearest two others, and that as a share of what is tolerated: more beyond the ends, where reading counts
 * for more.
 */
function standOff(point: StrayPoint, line: readonly StrayPoint[]): { off: number; share: number } {
  const others = line.filter((other) => other !== point);
  const above = others.findIndex((other) => other.x >= point.x);
  const first = Math.min(others.length - 2, Math.max(0, (above < 0 ? others.length : above) - 1));
  const [p, q] = [others[first]!, others[first + 1]!];
  const along = q.x > p.x ? (point.x - p.x) / (q.x - p.x) : 0;
  const off = point.y - p.y - along * (q.y - p.y);
  const noise = Math.hypot(1, 1 - along, along) / Math.hypot(1, 0.5, 0.5);
  return { off, share: Math.abs(off) / (OFF_CURVE * noise) };
}
