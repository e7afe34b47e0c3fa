import {
  auditDraft,
  type DraftFit,
  draftToSheet,
  fitDraft,
  type MapDraft,
  mapGeometry,
  sheetUnits,
  speedLineAt,
} from '../../../build/index.ts';
import type { AuditFinding, CompressorSurface, FlowAndRatio } from '../../../compressor/index.ts';
import { memory } from '../../../numerics/index.ts';
import type { MapChart } from '../../../plot/index.ts';
import { mapHash } from '../../../reading/index.ts';
import {
  formatNumber,
  isVolumeFlow,
  kgPerSToSheetFlow,
  sheetFlowKeys,
  sheetFlowToKgPerS,
  sheetFlowUnits,
} from '../../../units/index.ts';
import { Field } from '../../shared/Field.tsx';
import type { MapEdit } from '../desk.ts';
import { drawingReference, flowPerKgPerS, pointOf, sortAlong, speedOf } from '../editDraft.ts';
import styles from '../maps.module.css';
import type { PasteForm } from '../paste/columns.ts';
import { EfficiencyChoice, FlowUnitChoice, ReferenceFields } from '../sheetFields.tsx';
import { inTheWay, type SheetFit, type SheetView } from './sheetKind.ts';

/** How the fit stands. */
function stripWords(fit: DraftFit, findings: readonly AuditFinding[]): string {
  const quality = fitQuality(fit);
  if (quality !== null) return fitWords(quality);
  return `Not a map yet: ${inTheWay(findings) ?? 'two speed lines with two points each are needed'}`;
}

function readout(
  draft: MapDraft,
  surface: CompressorSurface | null,
  at: { correctedMassFlowKgPerS: number; pressureRatio: number },
  perKgPerS: number,
): string[] {
  const unit = sheetFlowUnits[draft.flowUnit];
  const lines = [
    `${formatNumber(at.correctedMassFlowKgPerS * perKgPerS, Math.min(unit.decimals, 3))} ${unit.label}`,
    `Pressure ratio ${formatNumber(at.pressureRatio, 2)}`,
  ];
  if (surface === null) return lines;
  const on = surface.at(at.correctedMassFlowKgPerS, at.pressureRatio);
  if (on.correctedSpeedRpm === null) return [...lines, 'outside the map'];
  const marked = on.extended ? ', extended' : '';
  lines.push(`${formatNumber(on.correctedSpeedRpm, 0)} rpm corrected${marked}`);
  if (on.efficiency !== null) lines.push(`Efficiency ${formatNumber(on.efficiency * 100, 1)} %`);
  return lines;
}

/** The map as fitted with the entered points on it; while nothing can be fitted, the points as they stand, joined line by line. */
export function sheetChart(draft: MapDraft, fit: DraftFit, withIslandPoints: boolean): MapChart {
  const points = enteredPoints(draft, withIslandPoints);
  const { surface, sheet } = fit;
  if (surface === null || sheet === null) return unfittedChart(draft, points);
  const geometry = mapGeometry(surface, sheet);
  // On the sheet itself the reference temperature is the day's: corrected and physical speed are the same number.
  const rpm = surface.limits.shaftSpeedRpm;
  const limit = rpm === undefined ? [] : speedLineAt(surface, rpm);
  return {
    ...axes(draft),
    extent: reaching({ minFlowKgPerS: 0, minPressureRatio: 1, ...geometry.extent }, points),
    speedLines: geometry.speedLines.map(({ correctedSpeedRpm, entered, line }) => ({
      label: formatNumber(correctedSpeedRpm, 0),
      kind: entered ? 'entered' : 'extended',
      points: line.points,
      isRated: false,
    })),
    speedLabelNote: 'Speed lines as fitted: corrected speed in rpm',
    surgeLine: geometry.surgeLine,
    chokeEnd: geometry.chokeEnd,
    islands: geometry.islands.map((contour) => ({
      contour,
      label: `${formatNumber(contour.efficiency * 100, Number.isInteger(Number((contour.efficiency * 100).toFixed(3))) ? 0 : 1)} %`,
    })),
    islandLabelNote: geometry.islands.length === 0 ? '' : 'Efficiency islands: total to total, %',
    ratedSpeedLine:
      rpm === undefined || limit.length === 0 ? null : { pieces: limit, label: `limit ${formatNumber(rpm, 0)} rpm` },
    sheetPoints: points,
  };
}

function axes(draft: MapDraft): Pick<MapChart, 'flowAxis' | 'ratioAxis'> {
  return {
    flowAxis: {
      title: isVolumeFlow(draft.flowUnit) ? 'Corrected volume flow' : 'Corrected air flow',
      unit: sheetFlowUnits[draft.flowUnit].label,
      perKgPerS: kgPerSToSheetFlow(1, draft.flowUnit, drawingReference(draft)),
    },
    ratioAxis: { title: 'Pressure ratio, total to total' },
  };
}

/** The points of islands are many and lie close: they are shown while the islands are being worked on. */
function enteredPoints(draft: MapDraft, withIslandPoints: boolean): FlowAndRatio[] {
  const islands = withIslandPoints ? draft.islands.flatMap((i) => i.points) : [];
  const rows = [...draft.speedLines.flatMap((l) => l.points), ...draft.surgeLine, ...islands];
  return rows.flatMap((row) => pointOf(draft, row) ?? []);
}

/** A mistyped point is drawn too, unless it is so far out that the map would shrink to nothing. */
function reaching(extent: MapChart['extent'], points: readonly FlowAndRatio[]): MapChart['extent'] {
  const within = points.filter(
    (p) => p.correctedMassFlowKgPerS < 1.5 * extent.maxFlowKgPerS && p.pressureRatio < 1.5 * extent.maxPressureRatio,
  );
  return {
    ...extent,
    maxFlowKgPerS: Math.max(extent.maxFlowKgPerS, ...within.map((p) => p.correctedMassFlowKgPerS)),
    maxPressureRatio: Math.max(extent.maxPressureRatio, ...within.map((p) => p.pressureRatio)),
  };
}

function unfittedChart(draft: MapDraft, points: readonly FlowAndRatio[]): MapChart {
  const drawn = draft.speedLines.map((line) => ({
    speed: speedOf(line),
    points: line.points.flatMap((row) => pointOf(draft, row) ?? []),
  }));
  return {
    ...axes(draft),
    extent: {
      minFlowKgPerS: 0,
      maxFlowKgPerS: Math.max(0, ...points.map((p) => p.correctedMassFlowKgPerS)),
      minPressureRatio: 1,
      maxPressureRatio: Math.max(1, ...points.map((p) => p.pressureRatio)),
    },
    speedLines: drawn.map(({ speed, points: path }) => ({
      label: speed === null ? 'no speed' : formatNumber(speed, 0),
      kind: 'extended',
      points: path,
      isRated: false,
    })),
    speedLabelNote: 'Points as entered, not fitted yet',
    surgeLine: [],
    chokeEnd: [],
    islands: [],
    islandLabelNote: '',
    ratedSpeedLine: null,
    sheetPoints: points,
  };
}

/** How closely the fitted surface passes the entered points of the speed lines. */
interface FitQuality {
  points: number;
  /** Largest distance in speed, as a share; of the points that the surface answers for. */
  speed: number;
  /** Largest distance in efficiency, 0..1; null where no point has one. */
  efficiency: number | null;
}

/** null while nothing is fitted. */
export function fitQuality({ sheet, surface }: DraftFit): FitQuality | null {
  if (sheet === null || surface === null) return null;
  const quality: FitQuality = { points: 0, speed: 0, efficiency: null };
  for (const line of sheet.speedLines) {
    for (const p of line.points) {
      const at = surface.at(sheetFlowToKgPerS(p.flow, sheet.flowUnit, sheet.reference), p.pressureRatio);
      if (at.correctedSpeedRpm === null) continue;
      quality.points++;
      quality.speed = Math.max(quality.speed, Math.abs(at.correctedSpeedRpm / line.speedRpm - 1));
      if (p.efficiency === undefined || at.efficiency === null) continue;
      quality.efficiency = Math.max(quality.efficiency ?? 0, Math.abs(at.efficiency - p.efficiency));
    }
  }
  return quality;
}

/** One line for under the plot. */
export function fitWords(quality: FitQuality): string {
  const { points, speed, efficiency } = quality;
  const eta = efficiency === null ? '' : `, efficiency within ${formatNumber(efficiency * 100, 1)} points`;
  return `Fitted through ${points} points: speed within ${formatNumber(speed * 100, 2)} %${eta}`;
}

function Units({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  return (
    <fieldset className={styles.group}>
      <legend>How the sheet gives its numbers</legend>
      <FlowUnitChoice label="Flow" draft={draft} edit={edit} />
      <EfficiencyChoice draft={draft} edit={edit} />
      <p className={styles.help}>
        Flows stay as typed when the unit is changed: it says what the numbers on the sheet mean. Volume flow is at the
        reference state.
      </p>
    </fieldset>
  );
}

function LimitAndWheel({ id }: { id: string }) {
  return (
    <>
      <fieldset className={styles.group} data-part="limits">
        <legend>Limit</legend>
        <Field path="map.limits.shaftSpeed" id={id} />
      </fieldset>
      <fieldset className={styles.group} data-part="wheel">
        <legend>Compressor wheel</legend>
        <Field path="map.wheel.exducer" id={id} />
        <Field path="map.wheel.inducer" id={id} />
      </fieldset>
    </>
  );
}

/** Speeds stand several times in a table of points; flows hardly ever do. */
function repeats(values: readonly number[]): boolean {
  return values.length > 2 && new Set(values).size <= 0.5 * values.length;
}

export const compressorPaste: PasteForm = {
  roles: [
    { key: 'speed', name: 'Speed, rpm' },
    { key: 'percent', name: 'Speed, %' },
    { key: 'flow', name: 'Flow' },
    { key: 'ratio', name: 'Pressure ratio' },
    { key: 'efficiency', name: 'Efficiency' },
    { key: 'ignored', name: 'not used' },
  ],
  headings: [
    ['efficiency', /\beff|efficien|\beta\b|η|wirkungsgrad|rendement/],
    ['ratio', /pressure ratio|\bp ?2 ?[ct]? ?\/ ?p ?1|\bpr\b|\bprt|ratio|\bpi\b|π|druckverh/],
    ['percent', /percent|%|\bpct\b/],
    ['flow', /flow|\bmass\b|mdot|ṁ|\bw ?c?\b|durchsatz|massenstrom|débit|lb ?\/ ?min|kg ?\/ ?s|\bcfm\b|m3 ?\/ ?s/],
    ['speed', /speed|\bk?rpm\b|\bnc?\b|drehzahl|rev ?\/ ?min|1\/min|min-1/],
  ],
  bySize(take, free) {
    const hasSpeed = take('speed', (c) => c.low > 2000);
    const hasEfficiency = take('efficiency', (c) => c.low > 0.15 && c.high < 1);
    if (!hasSpeed) take('percent', (c) => c.high <= 130 && c.low >= 20 && repeats(c.values));
    const decimals = free().filter((c) => c.low >= 0.9 && c.high < 10);
    // Two columns that could both be a pressure ratio: tables give flow first.
    const ratio = decimals.length > 1 ? decimals[1] : decimals[0];
    take('ratio', (c) => c === ratio);
    if (!hasEfficiency && free().length > 1) {
      const last = free().at(-1);
      take('efficiency', (c) => c === last && c.low >= 15 && c.high <= 95);
    }
    take('flow', () => true);
  },
  flows: sheetFlowKeys,
  flowsInWords: 'kg/s, lb/min, m³/s or cfm',
  aRatio: 'a pressure ratio',
  called: 'map',
  mayLackSpeeds: false,
  mayBePercent: true,
  sort: sortAlong,
  order: 'from surge to choke',
  title: 'Paste a table of speed lines',
  columnsLabel: 'Columns for speed, flow, pressure ratio and efficiency in any order, or blocks under their speeds',
  linesCaption: 'Speed lines made of it',
  speedHeading: 'Speed, rpm',
};

const fits = memory<DraftFit, SheetFit>();

/** Compressor maps as the Maps view has them. */
export const compressorView: SheetView = {
  key: 'compressor',
  kind: 'Compressor map',
  newName: 'New map',
  ratio: 'Pressure ratio',
  ratioShort: 'PR',
  isRatioFirst: false,
  line: 'speed line',
  lineList: 'Speed lines',
  unnamedLine: () => 'no speed',
  mayLackSpeed: false,
  order: 'from surge to choke',
  pointHint: 'From surge to choke.',
  tabs: [
    { key: 'sheet', name: 'Sheet', parts: ['reference', 'limits', 'wheel'] },
    { key: 'lines', name: 'Speed lines', parts: ['speed-line'] },
    { key: 'surge', name: 'Surge line', parts: ['surge-line'] },
    { key: 'islands', name: 'Islands', parts: ['island'] },
  ],
  needs: {
    must: [
      { part: 'reference', name: 'the reference state that flows and speeds are corrected to' },
      { part: 'speed-line', name: 'two speed lines or more, each with its speed and two points or more' },
    ],
    may: 'surge line, efficiencies or islands, maximum shaft speed, wheel diameters',
  },
  traced: 'a speed line, the surge line, an island',
  hasIslands: true,
  isCompleted: true,
  FlowPrinted: (props) => <FlowUnitChoice label="Flow is printed in" {...props} />,
  hash(draft) {
    const read = draftToSheet(draft);
    return read.ok ? mapHash(read.sheet) : null;
  },
  Meaning: ({ draft, edit }) => (
    <>
      <ReferenceFields draft={draft} edit={edit} />
      <Units draft={draft} edit={edit} />
      <LimitAndWheel id={draft.id} />
    </>
  ),
  fit(draft, fitter) {
    const fit = fitDraft(draft, fitter);
    return fits(fit, Object.values(sheetUnits(draft)), () => ({
      kind: 'compressor',
      ...fit,
      findings: auditDraft(draft, fitter),
    }));
  },
  draw(draft, fitter, withIslandPoints) {
    const fit = fitDraft(draft, fitter);
    const perKgPerS = flowPerKgPerS(draft);
    const help = 'Largest distance between the fitted surface and an entered point';
    return {
      chart: sheetChart(draft, fit, withIslandPoints),
      describe: (at) => readout(draft, fit.surface, at, perKgPerS),
      strip: { words: stripWords(fit, auditDraft(draft, fitter)), help },
    };
  },
  paste: compressorPaste,
};
