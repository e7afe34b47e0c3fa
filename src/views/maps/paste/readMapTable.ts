import { formatNumber, pasteTooLong, plainNumber } from '../../../units/index.ts';
import { bareCell, type Cells, cellNumber, lineBlocks, splitTable } from './cells.ts';
import {
  type ColumnRole,
  type Columns,
  type PastedFlowUnit,
  type PasteForm,
  pastedFlowUnits,
  recogniseColumns,
  type SheetFlow,
  unfoldBlocks,
} from './columns.ts';

/** What the user may say about a pasted table where it does not say so itself. */
export interface PasteChoices {
  roles?: readonly ColumnRole[] | undefined;
  flowUnit?: PastedFlowUnit | undefined;
  speedUnit?: PastedSpeedUnit | undefined;
  /** rev/min at 100 %, for speeds in percent. */
  designSpeedRpm?: number | undefined;
  /** Unit to assume when the table names none: the map's own. */
  usualFlowUnit: SheetFlow;
  /** Of the kind of sheets that the table is for. */
  form: PasteForm;
}

export type PastedSpeedUnit = 'rpm' | 'krpm' | '%';

export interface PastedLine {
  /** Text for the table; '' when no speed can be given. */
  speed: string;
  points: readonly PastedPoint[];
}

/** A pasted table, understood; shown before anything is taken over. */
export interface MapTable {
  /** The cells that are read, first row of numbers at firstRow. */
  cells: Cells;
  firstRow: number;
  hasHeader: boolean;
  roles: readonly ColumnRole[];
  /** The unit the flow column is in, and whether the table itself says so. */
  flowUnit: PastedFlowUnit;
  /** The flows of `lines` are in this unit. */
  sheetFlowUnit: SheetFlow;
  efficiencyUnit: '1' | '%';
  hasEfficiency: boolean;
  /** Speeds are in percent and no design speed is given yet. */
  needsDesignSpeed: boolean;
  speedsInPercent: boolean;
  speedUnit: PastedSpeedUnit;
  lines: readonly PastedLine[];
  /** What was done with the numbers, in plain words. */
  notes: readonly string[];
  /** Rows that could not be used. */
  skipped: readonly { row: number; reason: string }[];
  /** Why nothing can be taken over; null when it can. */
  problem: string | null;
}

/**
 * Reads a pasted table of speed, flow, pressure (or expansion) ratio and efficiency, in any order of columns, as one table, as blocks under their
 * speeds, or as blocks side by side. Numbers keep the text they came in unless a unit has to be changed.
 */
export function readMapTable(pasted: Cells, choices: PasteChoices): MapTable {
  const { form } = choices;
  const unfolded = unfoldBlocks(pasted);
  const cells = unfolded ?? pasted.filter((row) => row.some((cell) => cell !== ''));
  const recognised = recogniseColumns(cells, form);
  const roles = choices.roles ?? recognised.roles;
  const flowUnit = choices.flowUnit ?? recognised.flowUnit ?? choices.usualFlowUnit;
  const at = (role: ColumnRole): number => roles.indexOf(role);
  const blocks = form.mayLackSpeeds && unfolded === null && at('speed') < 0 ? lineBlocks(pasted) : null;
  const { speedUnit: chosen } = choices;
  const read = (inThousands: boolean) =>
    readRows(cells, { ...recognised, speedInThousands: inThousands }, at, { blocks, ratioName: ratioOf(form) });
  const asNamed = read(chosen === undefined ? recognised.speedInThousands : chosen === 'krpm');
  const looksPercent = form.mayBePercent && (at('speed') < 0 ? at('percent') >= 0 : inPercent(asNamed.rows));
  const speedsInPercent = chosen === undefined ? looksPercent : chosen === '%';
  // No shaft of a turbo turns so slowly.
  const isGuessed = chosen === undefined && form.mayBePercent && !looksPercent && highest(asNamed.rows) < 1000;
  const { rows, skipped } = isGuessed ? read(true) : asNamed;
  const inThousands = chosen === undefined ? isGuessed || recognised.speedInThousands : chosen === 'krpm';
  const efficiencies = rows.flatMap((r) => (r.efficiency === null ? [] : [r.efficiency]));
  const efficiencyUnit = middle(efficiencies) > 1.5 ? '%' : '1';
  const needsDesignSpeed = speedsInPercent && !(choices.designSpeedRpm !== undefined && choices.designSpeedRpm > 0);
  const gathered = gatherLines(rows, {
    speedsInPercent,
    designSpeedRpm: choices.designSpeedRpm,
    flowFactor: pastedFlowUnits[flowUnit].factor,
    form,
  });
  const notes = [
    ...unitNotes(flowUnit, choices, recognised.flowUnit, efficiencies.length > 0, efficiencyUnit),
    ...(inThousands ? [`Speeds are in thousands of rpm${isGuessed ? ': so small are none in rpm' : ''}.`] : []),
    ...gathered.notes,
  ];
  return {
    cells,
    firstRow: recognised.firstRow,
    hasHeader: recognised.hasHeader,
    roles,
    flowUnit,
    sheetFlowUnit: pastedFlowUnits[flowUnit].sheet,
    efficiencyUnit,
    hasEfficiency: efficiencies.length > 0,
    needsDesignSpeed,
    speedsInPercent,
    speedUnit: speedsInPercent ? '%' : inThousands ? 'krpm' : 'rpm',
    lines: gathered.lines,
    notes,
    skipped,
    problem: problemOf(recognised, roles, rows.length, needsDesignSpeed, form),
  };
}

function ratioOf({ aRatio }: PasteForm): string {
  return aRatio.replace(/^an? /, '');
}

function problemOf(
  { speedIsOfTips }: Columns,
  roles: readonly ColumnRole[],
  rows: number,
  needsDesignSpeed: boolean,
  form: PasteForm,
): string | null {
  if (!roles.includes('flow')) return 'Which column is the flow? Choose it above the table.';
  if (!roles.includes('ratio')) return `Which column is the ${ratioOf(form)}? Choose it above the table.`;
  if (speedIsOfTips && roles.includes('speed'))
    return 'The speeds are those of the blade tips. Enter those of the shaft, 60 u/(π d) with the diameter d of the exducer.';
  if (rows === 0) return `No row has both a flow and ${form.aRatio} that can be read.`;
  if (needsDesignSpeed) return 'The speeds are in percent. Enter the speed at 100 %, in rpm.';
  return null;
}

function readRows(
  cells: Cells,
  { firstRow, speedInThousands }: Pick<Columns, 'firstRow' | 'speedInThousands'>,
  at: (role: ColumnRole) => number,
  { blocks, ratioName: called }: { blocks: readonly number[] | null; ratioName: string },
): { rows: PastedRow[]; skipped: { row: number; reason: string }[] } {
  const rows: PastedRow[] = [];
  const skipped: { row: number; reason: string }[] = [];
  let speed: string | null = null;
  let percent: string | null = null;
  cells.slice(firstRow).forEach((row, i) => {
    const cell = (role: ColumnRole): string => row[at(role)] ?? '';
    // Speeds that stand only beside the first of their points (merged cells) hold for the rows below.
    if (cell('speed') !== '') speed = cell('speed');
    if (cell('percent') !== '') percent = cell('percent');
    const flow = cellNumber(cell('flow'));
    const ratio = cellNumber(cell('ratio'));
    if (flow === null || ratio === null) {
      // Headings between the lines are no rows of numbers that went wrong.
      if (blocks !== null && row.every((text) => cellNumber(text) === null)) return;
      const missing = flow === null ? `flow '${cell('flow')}'` : `${called} '${cell('ratio')}'`;
      skipped.push({ row: firstRow + i + 1, reason: `the ${missing} is not a number` });
      return;
    }
    const speedValue = speed === null ? null : speedOfCell(speed, speedInThousands);
    if (speed !== null && speedValue === null) {
      skipped.push({ row: firstRow + i + 1, reason: `the speed '${speed}' is not a number` });
      return;
    }
    rows.push({
      speed: speedValue,
      percent: percent === null ? null : cellNumber(percent),
      block: blocks?.[firstRow + i] ?? 0,
      flow,
      ratio,
      efficiency: cellNumber(cell('efficiency')),
      text: { flow: cell('flow'), ratio: bareCell(cell('ratio')), efficiency: bareCell(cell('efficiency')) },
    });
  });
  return { rows, skipped };
}

/** Speed cell in rev/min; 'krpm' may stand in the cell or in the heading. */
function speedOfCell(cell: string, headingInThousands: boolean): number | null {
  const words = /^(.*?)\s*(krpm|rpm|1\/min|min-1|rev\/min)?$/i.exec(cell);
  const unit = words?.[2]?.toLowerCase();
  const inThousands = unit === 'krpm' || (headingInThousands && unit === undefined);
  const value = cellNumber(words?.[1] ?? cell, !inThousands);
  // Nine digits: 40.1 thousand is 40100 and not 40100.00000000001.
  return value === null || !inThousands ? value : Number((value * 1000).toPrecision(9));
}

function inPercent(rows: readonly PastedRow[]): boolean {
  const speeds = rows.flatMap((r) => (r.speed === null ? [] : [r.speed]));
  // Over 20, so that speeds in thousands of rpm up to 20 are not mistaken; up to 120 % is what sheets go to.
  return speeds.length > 0 && Math.max(...speeds) <= 120 && Math.min(...speeds) >= 20;
}

/** Of the speeds of the rows; infinite where there are none. */
function highest(rows: readonly PastedRow[]): number {
  const speeds = rows.flatMap((r) => r.speed ?? []);
  return speeds.length === 0 ? Number.POSITIVE_INFINITY : Math.max(...speeds);
}

function middle(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1] ?? 0;
}

function unitNotes(
  unit: PastedFlowUnit,
  choices: PasteChoices,
  named: PastedFlowUnit | null,
  hasEfficiency: boolean,
  efficiencyUnit: '1' | '%',
): string[] {
  const { label, sheet, factor } = pastedFlowUnits[unit];
  const notes: string[] = [];
  const sheetLabel = pastedFlowUnits[sheet].label;
  if (factor !== 1) {
    const by = factor > 1 ? `times ${plainNumber(factor)}` : `divided by ${plainNumber(1 / factor)}`;
    notes.push(
      `Flow in ${label} is brought to ${sheetLabel} (${by}): sheets here are in ${choices.form.flowsInWords}.`,
    );
  } else if (named === null && choices.flowUnit === undefined) {
    notes.push(
      `The table names no flow unit: ${label} is taken, as set on the ${choices.form.called}. Change it above if it is another.`,
    );
  }
  if (hasEfficiency && efficiencyUnit === '%') notes.push('Efficiencies are in percent.');
  return notes;
}

/** Whether a pasted text is a table of several lines, for the paste panel, rather than a few columns for the table at hand. */
export function isMapTable(text: string, form: PasteForm): boolean {
  if (pasteTooLong(text) !== null) return false;
  const cells = splitTable(text);
  if (cells.length < 3) return false;
  const unfolded = unfoldBlocks(cells);
  const { roles } = recogniseColumns(unfolded ?? cells.filter((row) => row.length > 0), form);
  const hasSpeed = roles.includes('speed') || roles.includes('percent');
  const hasLines = hasSpeed || (form.mayLackSpeeds && new Set(lineBlocks(cells)).size > 1);
  return hasLines && roles.includes('flow') && roles.includes('ratio');
}

interface PastedPoint {
  flow: string;
  pressureRatio: string;
  efficiency: string;
}

/** One usable row, numbers and the text they came in. */
interface PastedRow {
  speed: number | null;
  percent: number | null;
  /** Line that the row stands in where the table has no speeds. */
  block: number;
  flow: number;
  ratio: number;
  efficiency: number | null;
  text: { flow: string; ratio: string; efficiency: string };
}

interface GatherOptions {
  speedsInPercent: boolean;
  designSpeedRpm?: number | undefined;
  flowFactor: number;
  form: PasteForm;
}

/** Speeds closer than this share stand on one line; sheets have no lines so close, measured readings of one line scatter by 0.3 %. */
const SAME_LINE = 0.01;

/**
 * Rows to speed lines: by the percent column where there is one beside the speeds, else by equal or nearly equal speed. A line of
 * readings at slightly different speeds gets their mean. Points are put in order from surge to choke.
 */
function gatherLines(rows: readonly PastedRow[], options: GatherOptions): { lines: PastedLine[]; notes: string[] } {
  const named = rows.every((r) => r.speed === null && r.percent === null);
  const groups = named ? byBlock(rows) : (byPercent(rows) ?? bySpeed(rows));
  const notes: string[] = [];
  let resorted = 0;
  let spread = 0;
  let example = '';
  const lines = groups.map((group): PastedLine => {
    const speeds = group.flatMap((r) => speedOf(r, options) ?? []);
    const mean = speeds.reduce((a, b) => a + b, 0) / speeds.length;
    const low = Math.min(...speeds);
    const high = Math.max(...speeds);
    if (high > low) {
      spread++;
      if (example === '')
        example = `${formatNumber(low, 0)} to ${formatNumber(high, 0)} rpm at ${formatNumber(mean, 0)} rpm`;
    }
    const { sorted, changed } = options.form.sort(
      group,
      (r) => r.flow,
      (r) => r.ratio,
    );
    if (changed) resorted++;
    return {
      speed: speeds.length > 0 ? plainNumber(high > low ? Math.round(mean) : mean, 8) : '',
      points: sorted.map((r) => point(r, options.flowFactor)),
    };
  });
  if (spread > 0) {
    notes.push(
      `Readings at slightly different speeds are put together on ${spread === 1 ? 'one line' : `${spread} lines`} at their mean speed (${example}).`,
    );
  }
  if (options.speedsInPercent && options.designSpeedRpm !== undefined) {
    notes.push(`Speeds in percent of ${formatNumber(options.designSpeedRpm, 0)} rpm.`);
  }
  if (resorted > 0) {
    notes.push(
      `The points of ${resorted === 1 ? 'one line' : `${resorted} lines`} are put in order ${options.form.order}.`,
    );
  }
  return { lines, notes };
}

function byBlock(rows: readonly PastedRow[]): PastedRow[][] {
  const groups = new Map<number, PastedRow[]>();
  for (const row of rows) groups.set(row.block, [...(groups.get(row.block) ?? []), row]);
  return [...groups.values()];
}

function point(row: PastedRow, factor: number): PastedPoint {
  // Twelve digits: 4.8832 lb/s times 60 is 292.992 lb/min and not 292.99199999999996.
  const flow = factor === 1 ? row.text.flow : plainNumber(row.flow * factor, 12);
  return { flow, pressureRatio: row.text.ratio, efficiency: row.text.efficiency };
}

function speedOf(row: PastedRow, options: GatherOptions): number | null {
  const share = row.speed !== null && !options.speedsInPercent ? null : (row.percent ?? row.speed);
  if (share === null) return row.speed;
  return options.designSpeedRpm === undefined ? null : (share / 100) * options.designSpeedRpm;
}

function byPercent(rows: readonly PastedRow[]): PastedRow[][] | null {
  if (rows.some((r) => r.percent === null)) return null;
  const groups = new Map<number, PastedRow[]>();
  for (const row of rows) groups.set(row.percent ?? 0, [...(groups.get(row.percent ?? 0) ?? []), row]);
  // A column of true percents differs in every row: then it is no name of a line.
  const entries = [...groups.entries()].sort((a, b) => a[0] - b[0]);
  if (entries.some(([value], i) => i > 0 && value - entries[i - 1]![0] < SAME_LINE * value)) return null;
  return entries.map(([, group]) => group);
}

function bySpeed(rows: readonly PastedRow[]): PastedRow[][] {
  const value = (r: PastedRow): number => r.speed ?? r.percent ?? 0;
  // Equal speeds keep their order, so that points stay as pasted.
  const sorted = rows.map((row, i) => ({ row, i })).sort((a, b) => value(a.row) - value(b.row) || a.i - b.i);
  const groups: { row: PastedRow; i: number }[][] = [];
  for (const entry of sorted) {
    const group = groups.at(-1);
    const last = group?.at(-1);
    if (group && last && value(entry.row) - value(last.row) <= SAME_LINE * value(entry.row)) group.push(entry);
    else groups.push([entry]);
  }
  return groups.map((group) => group.sort((a, b) => a.i - b.i).map(({ row }) => row));
}
