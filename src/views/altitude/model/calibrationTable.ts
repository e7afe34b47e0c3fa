import type { Build } from '../../../build/index.ts';
import { type ResultUnits, type StudyLimits, showLimit } from '../../../match/index.ts';
import type { CandidateStudy } from '../../../store/index.ts';
import { bareNumber, formatNumber, plainBlanks } from '../../../units/index.ts';
import { formatClipboardTable, formatCsv } from '../../../widgets/index.ts';
import { gateOpenWords, goalWords } from '../../shared/altitudeStudies.ts';
import { type Matrix, NONE_ALLOWED } from '../../shared/calibrationMatrix.ts';
import { candidateLetter, mapTitle } from '../../shared/display.ts';
import { NOT_THE_ENGINE, TABLE_CAUTIONS } from '../../shared/fileNotes.ts';
import { isDriven } from './pointed.ts';

/** One matrix for a spreadsheet or a calibration tool: engine speeds down, places across, plain numbers. */
export function matrixTsv(matrix: Matrix): string {
  return `${formatClipboardTable(cellsOf(matrix, `Engine speed [rpm] / ${matrix.title} [${matrix.unit}]`))}\n`;
}

/** All matrices one under the other as a file (RFC 4180). */
export function matricesCsv(matrices: readonly Matrix[], remarks: readonly string[]): string {
  const blocks = matrices.map((matrix) =>
    formatCsv(cellsOf(matrix, `${matrix.title} [${matrix.unit}]: engine speed [rpm]`)),
  );
  return `${formatCsv(remarks.map((remark) => [plainBlanks(remark)]))}\r\n${blocks.join('\r\n')}`;
}

function cellsOf(matrix: Matrix, corner: string): string[][] {
  const heading = [corner, ...matrix.columns.map(({ title }) => title)];
  const rows = matrix.rows.map(({ engineSpeed, cells }) => [
    bareNumber(engineSpeed),
    ...cells.map(({ text }) => (text === NONE_ALLOWED ? '' : bareNumber(text))),
  ]);
  return [heading, ...rows].map((cells) => cells.map(plainBlanks));
}

/** What the marks of the table mean, beside its letters. */
export function markWords(study: CandidateStudy): string {
  const orNot = isDriven(study) ? ', or the exhaust does not drive it' : '';
  const isEmpty = study.calibration?.cells.some((row) => row.some(({ noStepHolds }) => noStepHolds)) ?? false;
  const dash = isEmpty ? ' None: no whole step lies where every limit holds.' : '';
  return `Underlined: holding the goal crosses a limit there${orNot}.${dash}`;
}

/** What goes with the table on paper and in files: whose it is, from what, under which limits, and the cautions. */
export interface SheetWords {
  title: string;
  candidate: string;
  remarks: readonly string[];
  cautions: readonly string[];
}

const TEMPERATURES = {
  day: "today's deviation from the standard temperature kept at every altitude",
  standard: 'the temperature of the standard atmosphere',
  same: "today's temperature at every altitude",
} as const;

const TURBINE_UNKNOWN = 'The turbine side is not computed: it may not reach these figures.';
const TURBINE_KNOWN =
  'What the exhaust drives is computed for steady flow, and what the wastegate must pass too; whether it can is held against its entered size alone, if there is one: watch for boost that creeps over the target.';
const DRIVEN_ONLY =
  'E: the gate is shut and no more boost comes. Ask for no more even so: in other air it would come. Shaft speed and power with the goal held are there those that are reached.';

export function sheetWords(build: Build, study: CandidateStudy, index: number, units: ResultUnits): SheetWords {
  const candidate = build.candidates[index];
  const map = candidate?.map ?? candidate?.donor;
  const mapName = candidate === undefined ? '' : mapTitle(candidate);
  const hasTurbine = isDriven(study);
  const invented = build.invented || map?.invented ? ' Invented for demonstration: no such car or turbo exists.' : '';
  return {
    title: `Calibration table: ${build.name}`,
    candidate: `Candidate ${candidateLetter(index)}: ${candidate?.name ?? ''}. Map: ${[mapName || 'none', map?.source.trim().replace(/\.$/, '')].filter(Boolean).join(', ')}.${invented}`,
    remarks: [
      `Limits: ${limitWords(study, units).join('; ')}.`,
      `Goal: ${goalWords(build)}. Air of the altitudes: ${TEMPERATURES[build.altitudes.temperature]}.`,
      `Sensor: ${build.calibration.bladesPastSensor.text} blades past it in one turn of the shaft. All figures are rounded down, never up.`,
      ...(hasTurbine ? [`${turbineWords(candidate)} ${DRIVEN_ONLY}`] : []),
      ...[gateOpenWords(build, study) ?? []].flat(),
    ],
    cautions: [...TABLE_CAUTIONS, `${NOT_THE_ENGINE} ${hasTurbine ? TURBINE_KNOWN : TURBINE_UNKNOWN}`],
  };
}

function limitWords(study: CandidateStudy, units: ResultUnits): string[] {
  const { limits } = study.ceilings;
  const percent = (share: number) => `${formatNumber(share * 100, 1)}\u00a0%`;
  const words = [
    `surge margin ${percent(limits.surgeMargin ?? 0)}`,
    `choke margin ${percent(limits.chokeMargin ?? 0)}`,
  ];
  if (limits.shaftSpeedRpm !== undefined) {
    const reserve = limits.shaftSpeedReserve ?? 0;
    const kept = formatNumber(Math.floor(limits.shaftSpeedRpm * (1 - reserve)), 0);
    words.unshift(
      `shaft speed ${formatNumber(limits.shaftSpeedRpm, 0)}\u00a0rpm less ${percent(reserve)} = ${kept}\u00a0rpm`,
    );
  } else words.unshift('no shaft speed limit entered');
  const { compressorOutletTemperatureK, manifoldPressurePa, brakePowerW, torqueNm, stayBelowTopLine } = limits;
  if (compressorOutletTemperatureK !== undefined)
    words.push(`compressor outlet ${showLimit(compressorOutletTemperatureK, 'temperature', units)}`);
  if (manifoldPressurePa !== undefined)
    words.push(`manifold ${showLimit(manifoldPressurePa, 'absolute-pressure', units)} absolute`);
  if (brakePowerW !== undefined) words.push(`power ${showLimit(brakePowerW, 'power', units)} at the crankshaft`);
  if (torqueNm !== undefined) words.push(`torque ${showLimit(torqueNm, 'torque', units)}`);
  if (isDriven(study)) words.push(...turbineLimitWords(limits, units));
  if (stayBelowTopLine) words.push('not above the top speed line of the sheet');
  return words;
}

/** What the turbine's flow capacity rests on. */
function turbineWords(candidate: Build['candidates'][number] | undefined): string {
  const sheet = candidate?.turbine.source === 'sheet' ? candidate.turbineSheet : null;
  return `Turbine: ${sheet === null ? 'capacity estimated from wheel and housing' : sheet.name.trim() || 'a sheet without a name'}.`;
}

function turbineLimitWords({ backPressureRatio, turbineInletTemperatureK }: StudyLimits, units: ResultUnits): string[] {
  return [
    'what the exhaust drives',
    ...(backPressureRatio === undefined
      ? []
      : [`back-pressure ratio p3/p_m ${showLimit(backPressureRatio, 'pressure-ratio', units)}`]),
    ...(turbineInletTemperatureK === undefined
      ? []
      : [`turbine inlet ${showLimit(turbineInletTemperatureK, 'temperature', units)}`]),
  ];
}
