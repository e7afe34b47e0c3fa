import {
  draftToTurbineSheet,
  fitTurbineDraft,
  type MapDraft,
  type TurbineDraftFit,
  type TurbineTables,
} from '../../../build/index.ts';
import type { FlowAndRatio } from '../../../compressor/index.ts';
import { memory } from '../../../numerics/index.ts';
import type { MapChart, PlotSpeedLine } from '../../../plot/index.ts';
import { turbineHash } from '../../../reading/index.ts';
import { lawFlowParameter, reducedSpeedFactor, type TurbineCapacity } from '../../../turbine/index.ts';
import { counted, formatNumber, isVolumeFlow, parseNumber, REFERENCE_GAS_CONSTANT } from '../../../units/index.ts';
import { ChoiceRow, SelectField } from '../../../widgets/index.ts';
import type { MapEdit } from '../desk.ts';
import { drawingReference, flowPerKgPerS, pointOf, sheetSpeedRoot } from '../editDraft.ts';
import styles from '../maps.module.css';
import type { PasteForm } from '../paste/columns.ts';
import { EfficiencyChoice, ReferenceFields } from '../sheetFields.tsx';
import {
  flowUnitLabel,
  inTheWay,
  isParameter,
  type SheetFit,
  type SheetView,
  setTurbineFlow,
  speedUnitLabel,
  turbineFlowOf,
  turbineFlows,
} from './sheetKind.ts';

function stripWords(fit: TurbineDraftFit): string {
  const quality = turbineQuality(fit);
  if (quality !== null) return turbineWords(quality);
  return `No curve yet: ${inTheWay(fit.findings) ?? 'one point of expansion ratio and flow is needed, better several'}`;
}

/** Where the pointer is, and what the fitted curves have at that expansion ratio. */
function readout(draft: MapDraft, fit: TurbineDraftFit, at: FlowAndRatio): string[] {
  const { pressureRatio: ratio } = at;
  const perKgPerS = flowPerKgPerS(draft);
  const flow = (kgPerS: number) => {
    const value = kgPerS * perKgPerS;
    return `${formatNumber(value, value < 0.1 ? 5 : value < 10 ? 4 : 2)} ${flowUnitLabel(draft)}`;
  };
  const lines = [flow(at.correctedMassFlowKgPerS), `Expansion ratio ${formatNumber(ratio, 2)}`];
  const { capacity } = fit;
  if (capacity === null || !(ratio > 1)) return lines;
  return [
    ...lines,
    ...capacityCurves(draft, fit, ratio).map(({ speed, at: curve }, i) => {
      const reduced = capacity.lines[i]?.reducedSpeed ?? 0;
      const notes = [
        capacity.isChoked(ratio, reduced) ? 'choked' : '',
        capacity.isExtended(ratio, reduced) ? 'extended' : '',
      ].filter((note) => note !== '');
      const name = speed === null ? 'Curve' : `At ${formatNumber(speed, 0)} ${speedUnitLabel(draft)}`;
      return [`${name}: ${flow(curve(ratio).correctedMassFlowKgPerS)}`, ...notes].join(', ');
    }),
  ];
}

/** Pieces of a curve between two expansion ratios. */
const PIECES = 48;

/** A fitted curve over expansion ratio, in pieces. */
interface CapacityCurve {
  /** Speed as the sheet gives it; null: the sheet gives none. */
  speed: number | null;
  /** The curve at an expansion ratio, entered or extended. */
  at(expansionRatio: number): FlowAndRatio;
  pieces: readonly { points: readonly FlowAndRatio[]; extended: boolean }[];
}

/** The fitted curves as corrected flow at the drawing reference; empty while nothing is fitted. `upTo`: the highest expansion ratio drawn. */
export function capacityCurves(draft: MapDraft, { capacity }: TurbineDraftFit, upTo: number): CapacityCurve[] {
  if (capacity === null) return [];
  const { temperatureK, pressurePa } = drawingReference(draft);
  const root = Math.sqrt(REFERENCE_GAS_CONSTANT * temperatureK);
  const speedRoot = sheetSpeedRoot(draft);
  return capacity.lines.map(({ reducedSpeed, points }) => {
    const at = (pressureRatio: number): FlowAndRatio => ({
      correctedMassFlowKgPerS: (capacity.flowParameter(pressureRatio, reducedSpeed ?? 0) * pressurePa) / root,
      pressureRatio,
    });
    const ratios = points.map((p) => p.expansionRatio);
    const [low, high] = [Math.min(...ratios), Math.max(...ratios)];
    // The entered points themselves are on the curve: it may bend at them.
    const piece = (from: number, to: number, through: readonly number[] = []) =>
      [...Array.from({ length: PIECES + 1 }, (_, i) => from + ((to - from) * i) / PIECES), ...through]
        .sort((a, b) => a - b)
        .map(at);
    return {
      speed: reducedSpeed === null ? null : reducedSpeed * speedRoot,
      at,
      pieces: [
        { points: piece(1, low), extended: true },
        ...(high > low ? [{ points: piece(low, high, ratios), extended: false }] : []),
        ...(upTo > high ? [{ points: piece(high, upTo), extended: true }] : []),
      ],
    };
  });
}

/** The turbine sheet as fitted with the entered points on it; while nothing can be fitted, the points joined line by line. */
export function turbineChart(draft: MapDraft, fit: TurbineDraftFit): MapChart {
  const lines = draft.speedLines.map((line) => line.points.flatMap((row) => pointOf(draft, row) ?? []));
  const points = lines.flat();
  const highest = Math.max(1, ...points.map((p) => p.pressureRatio));
  const upTo = 1 + (highest - 1) * 1.08;
  const curves = capacityCurves(draft, fit, upTo);
  const drawn = curves.flatMap((curve) => curve.pieces.flatMap((piece) => piece.points));
  const flows = [...points, ...drawn].map((p) => p.correctedMassFlowKgPerS);
  const speedLines = curves.length > 0 ? curves.flatMap(fittedLines) : enteredLines(draft, lines);
  return {
    flowAxis: {
      title: draft.flowParameter === undefined ? 'Corrected flow' : 'Flow parameter W√T03/p03',
      unit: flowUnitLabel(draft),
      perKgPerS: flowPerKgPerS(draft),
    },
    ratioAxis: { title: 'Expansion ratio p3/p4, total to static' },
    isFlowUp: true,
    extent: {
      minFlowKgPerS: 0,
      maxFlowKgPerS: Math.max(0, ...flows) * 1.04,
      minPressureRatio: 1,
      maxPressureRatio: upTo,
    },
    speedLines,
    speedLabelNote: noteOf(draft, curves),
    surgeLine: [],
    chokeEnd: [],
    islands: [],
    islandLabelNote: '',
    ratedSpeedLine: null,
    sheetPoints: points,
  };
}

function noteOf(draft: MapDraft, curves: readonly CapacityCurve[]): string {
  if (curves.length === 0) return 'Points as entered, not fitted yet';
  const named = curves.some(({ speed }) => speed !== null);
  return named ? `Capacity as fitted: speed in ${speedUnitLabel(draft)}` : 'Capacity as fitted';
}

/** The name of a line stands at the end of what was entered of it. */
function fittedLines({ speed, pieces }: CapacityCurve): PlotSpeedLine[] {
  const named = pieces.findIndex(({ extended }) => !extended);
  return pieces.map(({ points, extended }, i) => ({
    label: speed !== null && i === Math.max(0, named) ? formatNumber(speed, 0) : '',
    kind: extended ? 'extended' : 'entered',
    points,
    isRated: false,
  }));
}

function enteredLines(draft: MapDraft, lines: readonly FlowAndRatio[][]): PlotSpeedLine[] {
  return lines.map((points, i) => {
    const speed = parseNumber(draft.speedLines[i]?.speed ?? '', 'integer-like');
    return { label: speed.ok ? formatNumber(speed.value, 0) : '', kind: 'extended', points, isRated: false };
  });
}

type Law = NonNullable<TurbineCapacity['law']>;

/** What is known of a turbine sheet's reading. */
interface TurbineQuality {
  lines: number;
  points: number;
  pointsWithEfficiency: number;
  expansionRatio: { low: number; high: number };
  /** In the sheet's own unit. */
  flow: { low: number; high: number };
  /** Nozzle of the same flow capacity, m2, and the exponent of the expansion ratio in it; null where it is not known. */
  law: Law | null;
  /** Standard deviation of a point off a smooth line through its neighbours, share of flow; null with fewer than three points on every line. */
  scatter: number | null;
}

/** null while nothing is fitted. */
export function turbineQuality({ sheet, capacity }: TurbineDraftFit): TurbineQuality | null {
  if (sheet === null || capacity === null) return null;
  const points = sheet.lines.flatMap((line) => line.points);
  const ratios = points.map((p) => p.expansionRatio);
  const flows = points.map((p) => p.flow);
  return {
    lines: sheet.lines.length,
    points: points.length,
    pointsWithEfficiency: points.filter((p) => p.efficiency !== undefined).length,
    expansionRatio: { low: Math.min(...ratios), high: Math.max(...ratios) },
    flow: { low: Math.min(...flows), high: Math.max(...flows) },
    law: capacity.law ?? null,
    scatter: capacity.law === undefined ? null : scatterOf(sheet, capacity.law),
  };
}

/**
 * Every inner point is held against the straight line through its two neighbours, in ln(flow over the law) over ln(expansion ratio):
 * there a line is nearly level, and what the law itself misses along a whole line counts little.
 */
function scatterOf(sheet: TurbineTables, law: Law): number | null {
  // One line without a speed, and all points make one curve.
  const isPooled = sheet.lines.some(({ speedRpm }) => speedRpm === undefined);
  const toReduced = isPooled ? 0 : reducedSpeedFactor(sheet);
  const squares = sheet.lines.flatMap(({ speedRpm = 0, points }) => {
    const read = points
      .map(({ expansionRatio, flow }) => ({
        x: Math.log(expansionRatio),
        y: Math.log(flow / lawFlowParameter(law, expansionRatio, speedRpm * toReduced)),
      }))
      .filter(({ y }) => Number.isFinite(y))
      .sort((a, b) => a.x - b.x);
    return read.slice(1, -1).map(({ x, y }, i) => {
      const [a, b] = [read[i]!, read[i + 2]!];
      const way = b.x > a.x ? (x - a.x) / (b.x - a.x) : 0.5;
      const off = y - a.y - way * (b.y - a.y);
      // The neighbours scatter as well.
      return off ** 2 / (1 + way ** 2 + (1 - way) ** 2);
    });
  });
  return squares.length === 0 ? null : Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / squares.length);
}

/** One line for under the plot. */
export function turbineWords({ points, law, scatter }: TurbineQuality): string {
  const area =
    law === null ? '' : `: ${formatNumber(law.areaM2 * 1e4, 2)} cm², exponent ${formatNumber(law.exponent, 2)}`;
  const off = scatter === null ? '' : `, scatter ${formatNumber(scatter * 100, 1)} %`;
  return `Fitted through ${counted(points, 'point')}${area}${off}`;
}

const KINDS = [
  { key: 'corrected', name: 'Corrected flow' },
  { key: 'parameter', name: 'Flow parameter' },
] as const;
const CORRECTED = turbineFlows.filter(({ key }) => !isParameter(key));
const PARAMETERS = turbineFlows.flatMap(({ key }) => (isParameter(key) ? [{ key, name: key }] : []));

function TurbineFlowPrinted({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  return (
    <SelectField
      label="Flow is printed in"
      value={turbineFlowOf(draft) ?? 'kg/s'}
      options={turbineFlows}
      onChange={(flow) => edit((d) => setTurbineFlow(d, flow), 'change flow meaning', 'flow-meaning')}
    />
  );
}

/** What the numbers of a turbine sheet mean: its flow, the reference state where the flow has one, its ratio and efficiency. */
function TurbineMeaning({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  const flow = turbineFlowOf(draft);
  const kind = draft.flowParameter === undefined ? 'corrected' : 'parameter';
  const set = (next: Parameters<typeof setTurbineFlow>[1]) =>
    edit((d) => setTurbineFlow(d, next), 'change flow meaning', 'flow-meaning');
  return (
    <>
      <fieldset className={styles.group}>
        <legend>How the sheet gives its numbers</legend>
        <ChoiceRow
          label="Flow is a"
          value={kind}
          options={KINDS}
          onChange={(next) => {
            if (next === 'parameter') set('kPa');
            else set(isVolumeFlow(draft.flowUnit) ? 'kg/s' : draft.flowUnit);
          }}
        />
        <ChoiceRow
          label={kind === 'corrected' ? 'Unit' : 'Unit: kg√K/s per'}
          value={flow ?? 'kg/s'}
          options={kind === 'corrected' ? CORRECTED : PARAMETERS}
          onChange={set}
        />
        <p className={styles.help}>
          {kind === 'corrected'
            ? 'Corrected flow: W √(T03/Tref) / (p03/pref), in a unit of mass flow.'
            : 'Flow parameter: W √T03 / p03, with T03 in kelvin; it needs no reference state.'}{' '}
          The numbers stay as typed.
        </p>
        <EfficiencyChoice draft={draft} edit={edit} />
        <p className={styles.help}>
          Expansion ratio is p3/p4: total pressure before the turbine over static pressure behind it, both absolute.
          Efficiency is total to static.
        </p>
      </fieldset>
      {kind === 'corrected' && <ReferenceFields draft={draft} edit={edit} />}
    </>
  );
}

/**
 * Speeds are hundreds at least (rpm over the root of K), and a column of shares is the flow in kg/s before it is the efficiency. Of headings,
 * U/C0 is a ratio too, but not that of the expansion; speeds come before flows, because both may be named with the root of T.
 */
export const turbinePaste: PasteForm = {
  roles: [
    { key: 'ratio', name: 'Expansion ratio' },
    { key: 'flow', name: 'Flow' },
    { key: 'efficiency', name: 'Efficiency' },
    { key: 'speed', name: 'Speed' },
    { key: 'ignored', name: 'not used' },
  ],
  headings: [
    ['ignored', /speed ratio|\bu ?\/ ?c/],
    ['efficiency', /\beff|efficien|\beta\b|η|wirkungsgrad|rendement/],
    ['ratio', /expansion|ratio|\ber\b|\bpr\b|\bprt|\bp ?0?[t ]?3[t ]?0? ?\/ ?p ?s?4|\bpi\b|π|druckverh|entspannung/],
    ['speed', /speed|\bk?rpm\b|\bnc?\b|drehzahl|rev ?\/ ?min|1\/min|min-1/],
    ['flow', /flow|\bmass\b|mdot|ṁ|\bw ?c?\b|swallow|durchsatz|massenstrom|débit|lb ?\/ ?min|kg ?\/ ?s|√|sqrt/],
  ],
  bySize(take) {
    take('speed', (c) => c.low >= 300);
    take('ratio', (c) => c.low >= 1 && c.high < 10);
    take('flow', (c) => c.low > 0);
    take('efficiency', (c) => (c.low > 0.15 && c.high < 1) || (c.low >= 15 && c.high <= 95));
  },
  flows: turbineFlows.map(({ key }) => key),
  flowsInWords: 'kg/s, lb/min or a flow parameter',
  aRatio: 'an expansion ratio',
  called: 'sheet',
  mayLackSpeeds: true,
  mayBePercent: false,
  sort(points, _flow, ratio) {
    const sorted = points.toSorted((a, b) => ratio(a) - ratio(b));
    return { sorted, changed: sorted.some((point, i) => point !== points[i]) };
  },
  order: 'of rising expansion ratio',
  title: 'Paste a table of a turbine sheet',
  columnsLabel:
    'Columns for expansion ratio and flow, with or without efficiency and speed, in any order; lines without speeds stand apart by an empty row',
  linesCaption: 'Lines made of it',
  speedHeading: 'Speed',
};

const fits = memory<TurbineDraftFit, SheetFit>();

/** Turbine sheets as the Maps view has them. */
export const turbineView: SheetView = {
  key: 'turbine',
  kind: 'Turbine sheet',
  newName: 'New turbine sheet',
  ratio: 'Expansion ratio',
  ratioShort: 'ER',
  isRatioFirst: true,
  line: 'line',
  lineList: 'Lines of the turbine sheet',
  unnamedLine: (index) => `line ${index + 1}`,
  mayLackSpeed: true,
  order: 'in any order',
  pointHint: 'Expansion ratio p3/p4, total to static, in any order.',
  tabs: [
    { key: 'sheet', name: 'Sheet', parts: ['reference', 'limits', 'wheel'] },
    { key: 'lines', name: 'Lines', parts: ['speed-line'] },
  ],
  needs: {
    must: [
      { part: 'reference', name: 'what the flows are: corrected to a reference state, or a flow parameter' },
      { part: 'speed-line', name: 'points of expansion ratio and flow, one at least' },
    ],
    may: 'speeds of the lines, efficiencies',
  },
  traced: 'a line',
  hasIslands: false,
  isCompleted: false,
  FlowPrinted: TurbineFlowPrinted,
  hash(draft) {
    const read = draftToTurbineSheet(draft);
    return read.ok ? turbineHash(read.sheet) : null;
  },
  Meaning: TurbineMeaning,
  fit(draft) {
    const fit = fitTurbineDraft(draft);
    return fits(fit, [], () => ({ kind: 'turbine', ...fit }));
  },
  draw(draft) {
    const fit = fitTurbineDraft(draft);
    const help =
      'Area and exponent of the nozzle of the same flow capacity; how far points lie off a smooth line, standard deviation';
    return {
      chart: turbineChart(draft, fit),
      describe: (at) => readout(draft, fit, at),
      strip: { words: stripWords(fit), help },
    };
  },
  paste: turbinePaste,
};
