import type { Build } from '../../build/index.ts';
import {
  absoluteToTable,
  type BindingLimit,
  bindingLook,
  type ControlCell,
  type ControlTable,
  type ResultUnits,
  showResult,
} from '../../match/index.ts';
import type { TableStudy } from '../../store/index.ts';
import {
  bareNumber,
  capital,
  counted,
  formatNumber,
  fromSi,
  NO_NUMBER,
  plainBlanks,
  rpmText,
  unitOf,
} from '../../units/index.ts';
import { candidateLetter } from './display.ts';

/** What is shown in the cells: the targets to key in, or the table that is there already against the ceilings. */
export type ControlShown = 'target' | 'entered';

/** 'lowered': for what lies between the cells. 'none': no answer. 'over', 'under': a limit is crossed from above, from below. */
export type ControlCellState = 'plain' | 'lowered' | 'none' | 'over' | 'under' | 'empty';

export interface ControlCellWords {
  /** The number as it is shown; NO_NUMBER where there is none. */
  text: string;
  /** The same as a machine reads it; '' where there is none. */
  bare: string;
  /** Signs behind the number: an arrow, the letter of the limit. */
  mark: string;
  state: ControlCellState;
  /** What the signs say, for who cannot see them; '' where there are none. */
  spoken: string;
}

/** The table as it stands on the screen, in files and on paper. */
export interface ControlSheet {
  /** The answer, one sentence. */
  headline: string;
  tone: 'good' | 'caution' | 'stop';
  /** What there is to know besides, worst first. */
  details: readonly string[];
  /** 'Engine speed, rpm, by barometric pressure, kPa' */
  corner: string;
  /** 'Target, kPa absolute' */
  title: string;
  columns: readonly string[];
  rows: readonly { heading: string; cells: readonly ControlCellWords[] }[];
  /** What signs and letters mean, those that occur. */
  legend: readonly string[];
}

const KINDS = { absolute: 'absolute', gauge: 'gauge', ratio: 'manifold over barometric pressure' } as const;
const SIGNS: Readonly<Partial<Record<ControlCellState, string>>> = { lowered: '↓', over: '▲', under: '▼', none: '×' };

/** Number and unit writing of one table. */
function writing({ setup, table }: TableStudy) {
  const { kind, unit, decimals, axis } = setup;
  const { step } = table.options;
  const label = kind === 'ratio' ? '' : unitOf('pressure-difference', unit).label;
  const inUnit = (value: number) => (kind === 'ratio' ? value : fromSi(value, 'pressure-difference', unit));
  const axisLabel = unitOf(axis.isAltitude ? 'altitude' : 'pressure-absolute', axis.unit).label;
  const plain = (value: number) => String(Number(value.toFixed(6)));
  const given = (setup.options.entered ?? []).flat().filter((value) => value !== null);
  const isWritten = (more: number) => (value: number) =>
    Math.abs(inUnit(value) - Number(inUnit(value).toFixed(decimals + more))) < 1e-6;
  // As many decimals as the pasted table has, two more than the step at the most.
  const givenMore = [0, 1, 2].find((more) => given.every(isWritten(more))) ?? 2;
  return {
    label,
    /** A number of the table with its unit: '12 kPa'. */
    amount: (value: number, more = 0) =>
      `${formatNumber(inUnit(value), decimals + more)}${label === '' ? '' : `\u00a0${label}`}`,
    text: (value: number) => formatNumber(inUnit(value), decimals),
    /** A number that somebody else wrote. */
    given: (value: number) => formatNumber(inUnit(value), decimals + givenMore),
    bare: (value: number) =>
      inUnit(value)
        .toFixed(decimals)
        .replace(/^-(0(?:\.0*)?)$/, '$1'),
    step,
    axis: plain,
    axisLabel,
    where: (r: number, c: number) =>
      `${rpmText(table.options.engineSpeedsRpm[r]!)} and ${plain(axis.values[c]!)}\u00a0${axisLabel}`,
  };
}

type Writing = ReturnType<typeof writing>;

/** @param shown 'entered' only where a table was pasted */
export function controlSheet(study: TableStudy, shown: ControlShown, units: ResultUnits): ControlSheet {
  const { setup, table, build, candidateIndex } = study;
  const w = writing(study);
  const { kind, axis, layout } = setup;
  const words = table.cells.map((row) => row.map((cell) => (shown === 'target' ? target(cell, w) : entered(cell, w))));
  const speeds = table.options.engineSpeedsRpm.map((rpm) => w.axis(rpm));
  const seconds = axis.values.map((value) => w.axis(value));
  const isDown = layout === 'down';
  const columns = isDown ? seconds : speeds;
  const rows = isDown
    ? speeds.map((heading, r) => ({ heading, cells: words[r]! }))
    : seconds.map((heading, c) => ({ heading, cells: words.map((row) => row[c]!) }));
  const second = `${axis.isAltitude ? 'altitude' : 'barometric pressure'}, ${w.axisLabel}`;
  const of = candidateLetter(candidateIndex);
  const answer =
    shown === 'target' ? targetAnswer(table, w, of) : enteredAnswer(table, w, (pa, c) => excess(study, pa, c));
  return {
    ...answer,
    details: [...answer.details, ...common(study, shown, w, units, build)],
    title: `${shown === 'target' ? 'Target' : 'Your table'}, ${kind === 'ratio' ? KINDS.ratio : `${w.label} ${KINDS[kind]}`}`,
    corner: isDown ? `Engine speed, rpm, by ${second}` : `${capital(second)}, by engine speed, rpm`,
    columns,
    rows,
    legend: legend(table, words.flat(), shown),
  };
}

/** How far an absolute pressure over the ceiling is, in the table's kind. */
function excess({ table }: TableStudy, overPa: number, c: number): number {
  const { kind, barometersPa } = table.options;
  return kind === 'ratio' ? absoluteToTable(overPa, kind, barometersPa[c]!) : overPa;
}

const nameOf = (binding: BindingLimit) => bindingLook(binding).name.toLowerCase();

/** The ceiling, not the goal, is what the number comes from. */
function isCeiling({ ceilingPa, goalPa }: ControlCell): boolean {
  return ceilingPa !== null && (goalPa === null || ceilingPa < goalPa);
}

function target(cell: ControlCell, w: Writing): ControlCellWords {
  const { steps, loweredBy, binding, crossed } = cell;
  if (steps === null) {
    const limit = crossed ?? binding;
    const mark = `${SIGNS.none}${bindingLook(limit).letter}`;
    return { text: NO_NUMBER, bare: '', mark, state: 'none', spoken: `no answer: ${nameOf(limit)}` };
  }
  const value = steps * w.step;
  const letter = isCeiling(cell) ? bindingLook(binding).letter : '';
  const isLowered = loweredBy > 0;
  return {
    text: w.text(value),
    bare: w.bare(value),
    mark: `${isLowered ? SIGNS.lowered : ''}${letter}`,
    state: isLowered ? 'lowered' : 'plain',
    spoken: [letter && nameOf(binding), isLowered && 'lowered for what lies between'].filter(Boolean).join(', '),
  };
}

function entered({ entered: given }: ControlCell, w: Writing): ControlCellWords {
  if (given === null) return { text: '', bare: '', mark: '', state: 'empty', spoken: '' };
  const { value, verdict, limit } = given;
  const state = verdict === 'holds' ? 'plain' : verdict;
  const mark = limit === null ? '' : `${SIGNS[state] ?? ''}${bindingLook(limit).letter}`;
  const said = { holds: '', over: 'over: ', under: 'less than can be held: ', none: 'no boost holds: ' }[verdict];
  return {
    text: w.given(value),
    bare: bareNumber(w.given(value)),
    mark,
    state,
    spoken: limit === null ? '' : `${said}${nameOf(limit)}`,
  };
}

type Answer = Pick<ControlSheet, 'headline' | 'tone' | 'details'>;

const isAre = (count: number) => (count === 1 ? 'is' : 'are');

function targetAnswer({ cells }: ControlTable, w: Writing, letter: string): Answer {
  const all = cells.flat();
  const numbers = all.flatMap(({ steps }) => (steps === null ? [] : [steps * w.step]));
  if (numbers.length === 0) {
    return { headline: `No cell has an answer for ${letter}.`, tone: 'stop', details: noAnswers(cells, w) };
  }
  const missing = all.length - numbers.length;
  const held = all.filter((cell) => cell.steps !== null && isCeiling(cell)).length;
  const range = `${w.text(Math.min(...numbers))} to ${w.amount(Math.max(...numbers))}`;
  const by =
    held === 0
      ? 'the goal holds in every cell'
      : `a limit holds ${counted(held, 'cell')} of ${formatNumber(all.length, 0)} under the goal`;
  const empty = missing === 0 ? '' : `; ${counted(missing, 'cell')} ${missing === 1 ? 'has' : 'have'} no answer`;
  return {
    headline: `The table for ${letter} asks for ${range}: ${by}${empty}.`,
    tone: missing > 0 || held > 0 ? 'caution' : 'good',
    details: noAnswers(cells, w),
  };
}

const MOST_PLACES = 4;

/** In words where a table has no number, by what stands in the way. */
function noAnswers(cells: ControlTable['cells'], w: Writing): string[] {
  const found = new Map<string, string[]>();
  cells.forEach((row, r) => {
    row.forEach(({ steps, crossed, binding }, c) => {
      if (steps !== null) return;
      const why =
        crossed === null
          ? `At no boost does every limit hold (${nameOf(binding)})`
          : `The target is less boost than can be held (${nameOf(crossed)})`;
      found.set(why, [...(found.get(why) ?? []), w.where(r, c)]);
    });
  });
  return [...found].map(([why, places]) => {
    const more = places.length - MOST_PLACES;
    const rest = more > 0 ? `; and in ${counted(more, 'cell')} more` : '';
    return `${why}: at ${places.slice(0, MOST_PLACES).join('; ')}${rest}. No number stands there.`;
  });
}

function enteredAnswer(
  { cells, enteredMiddlesOver }: ControlTable,
  w: Writing,
  inTable: (overPa: number, c: number) => number,
): Answer {
  const judged = cells.flatMap((row, r) => row.flatMap(({ entered: e }, c) => (e === null ? [] : [{ ...e, r, c }])));
  const over = judged.filter(({ verdict }) => verdict === 'over');
  const under = judged.filter(({ verdict }) => verdict === 'under');
  const none = judged.filter(({ verdict }) => verdict === 'none');
  const details: string[] = [];
  if (over.length > 0) details.push(`Over: ${byLimit(over)}.`);
  if (none.length > 0)
    details.push(`At no boost does every limit hold in ${counted(none.length, 'cell')}: ${byLimit(none)}.`);
  if (under.length > 0) {
    details.push(`Less boost than can be held in ${counted(under.length, 'cell')}: ${byLimit(under)}.`);
  }
  if ((enteredMiddlesOver ?? 0) > 0) {
    details.push(
      `Between the cells, where the control unit interpolates, ${formatNumber(enteredMiddlesOver ?? 0, 0)} middles are over a limit.`,
    );
  }
  const total = formatNumber(judged.length, 0);
  const worst = over.toSorted((a, b) => b.overPa - a.overPa)[0];
  if (worst === undefined) {
    const rest = none.length + under.length;
    if (rest === 0) {
      const between = (enteredMiddlesOver ?? 0) > 0;
      const headline = between
        ? `All ${total} cells of your table are under the ceilings, but not all that lies between them.`
        : `All ${total} cells of your table are under the ceilings.`;
      return { headline, tone: between ? 'caution' : 'good', details };
    }
    return {
      headline: `No cell of your table is over the ceilings, but ${formatNumber(rest, 0)} of ${total} cross a limit all the same.`,
      tone: 'caution',
      details,
    };
  }
  const limits = new Set(over.map(({ limit }) => nameOf(limit ?? 'bad-input')));
  const of = limits.size === 1 ? `over the limit of ${[...limits][0]}` : 'over a limit';
  return {
    headline: `${formatNumber(over.length, 0)} of ${total} cells ${isAre(over.length)} ${of}, the worst by ${w.amount(inTable(worst.overPa, worst.c), 1)} at ${w.where(worst.r, worst.c)}${limits.size === 1 ? '' : `: ${nameOf(worst.limit ?? 'bad-input')}`}.`,
    tone: 'stop',
    details: limits.size === 1 ? details.slice(1) : details,
  };
}

/** 'shaft speed in 31 cells, outlet temperature in 7' */
function byLimit(cells: readonly { limit: BindingLimit | null }[]): string {
  const counts = new Map<string, number>();
  for (const { limit } of cells) {
    const name = nameOf(limit ?? 'bad-input');
    counts.set(name, (counts.get(name) ?? 0) + 1);
  }
  return [...counts]
    .toSorted(([, a], [, b]) => b - a)
    .map(([name, count], i) => `${name} in ${i === 0 ? counted(count, 'cell') : formatNumber(count, 0)}`)
    .join(', ');
}

function common(
  { table, setup }: TableStudy,
  shown: ControlShown,
  w: Writing,
  units: ResultUnits,
  build: Build,
): string[] {
  const { middles, cells, options } = table;
  const temperatures = options.temperaturesK.map((k) => showResult(k, 'temperature', units));
  const air =
    temperatures.length === 1 ? temperatures[0] : `${temperatures.slice(0, -1).join(', ')} and ${temperatures.at(-1)}`;
  const lowest = temperatures.length === 1 ? `in air of ${air}` : `the lowest of air of ${air}`;
  const said: string[] = [];
  if (shown === 'target') {
    said.push(`Each cell is the lower of ceiling and goal, ${lowest}, rounded down to ${w.amount(options.step)}.`);
    const lowered = cells.flat().filter(({ loweredBy }) => loweredBy > 0);
    const most = Math.max(0, ...lowered.map(({ loweredBy }) => loweredBy));
    said.push(
      lowered.length === 0
        ? `In none of the ${formatNumber(middles.checked, 0)} middles between cells is the straight line over its ceiling.`
        : `${counted(lowered.length, 'cell')} ${lowered.length === 1 ? 'was' : 'were'} lowered, by ${w.amount(most * options.step)} at most, so that the straight line between cells is not over the ceiling in the middle (${SIGNS.lowered}). More breakpoints there would cost less boost.`,
    );
    const { under, unanswered, unchecked } = middles;
    if (under + unanswered > 0) {
      said.push(
        `In ${formatNumber(under + unanswered, 0)} middles between cells a limit is crossed that less boost does not mend (surge, as a rule): watch for it there.`,
      );
    }
    if (unchecked > 0)
      said.push(`${formatNumber(unchecked, 0)} middles beside a cell without a number were not looked at.`);
  } else said.push(`Held against the ceilings, ${lowest}.`);
  if (setup.kind === 'ratio') {
    said.push('The ratio is manifold over barometric pressure; the ratio on the compressor map is higher.');
  }
  const isPower = build.goal.kind === 'brake-power' || build.goal.kind === 'wheel-power';
  if (isPower && shown === 'target') said.push('The goal is a power: the lowest pressure that makes it counts.');
  if (setup.axis.isAltitude) said.push('Altitudes stand for pressures of the standard atmosphere (ISO 2533).');
  return said;
}

const MEANINGS: Readonly<Partial<Record<ControlCellState, string>>> = {
  over: 'over the ceiling',
  under: 'less boost than can be held',
  lowered: 'lowered for what lies between',
  none: 'no answer',
};

function legend(table: ControlTable, words: readonly ControlCellWords[], shown: ControlShown): string[] {
  const states = new Set(words.map(({ state }) => state));
  const signs = (Object.keys(MEANINGS) as ControlCellState[])
    .filter((state) => states.has(state))
    .map((state) => `${SIGNS[state]} ${MEANINGS[state]}`);
  const letters = new Map<string, string>();
  for (const cell of table.cells.flat()) {
    const limit =
      shown === 'entered'
        ? (cell.entered?.limit ?? null)
        : cell.steps === null
          ? (cell.crossed ?? cell.binding)
          : isCeiling(cell)
            ? cell.binding
            : null;
    if (limit === null) continue;
    const { letter, group, name } = bindingLook(limit);
    letters.set(letter, (group ?? name).toLowerCase());
  }
  const isGoal = shown === 'target' && words.some(({ mark, state }) => state === 'plain' && mark === '');
  return [
    ...signs,
    ...[...letters].map(([letter, name]) => `${letter} ${name}`),
    ...(isGoal ? ['no letter: the goal'] : []),
  ];
}

/** The numbers alone, tab-separated, for pasting into a control unit: the order of the breakpoints, a point before the decimals. */
export function bareNumbers(sheet: ControlSheet): string {
  return `${sheet.rows.map(({ cells }) => cells.map(({ bare }) => bare).join('\t')).join('\n')}\n`;
}

/** With the breakpoints round it. */
export function withHeadings({ corner, title, columns, rows }: ControlSheet): string[][] {
  return [
    [`${title}: ${corner}`, ...columns],
    ...rows.map(({ heading, cells }) => [heading, ...cells.map(({ bare }) => bare)]),
  ].map((row) => row.map((cell) => plainBlanks(cell)));
}
