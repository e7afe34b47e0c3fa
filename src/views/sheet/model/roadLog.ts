import { CHANNELS, LOG_UNITS, logsOf } from '../../../build/index.ts';
import { type ResultUnits, showResult } from '../../../match/index.ts';
import type { LogChannelKey, RoadLogResult, RoadLogRow } from '../../../match/types.ts';
import { isSameStudy, type LogStudy } from '../../../store/index.ts';
import { counted, formatNumber, joined, NO_BREAK_SPACE } from '../../../units/index.ts';
import { measuredAt } from '../../shared/calibrationMatrix.ts';
import { bladeWords, channelTitle, warningSentences } from '../../shared/logSentences.ts';
import type { SheetInput } from './sheetModel.ts';

/** Engine speeds at which measured and predicted shaft speeds are printed, rpm apart. */
const STEP_RPM = 500;

/** What was measured on the road, in a few sentences; none without a road log. */
export function measuredWords({ build, log }: Pick<SheetInput, 'build' | 'log'>, units: ResultUnits): string[] {
  if (logsOf(build).length === 0) return [];
  const study = log ?? null;
  if (study === null || study.build.id !== build.id || !isSameStudy('log', study.build, build)) {
    return ['The road log of this build is not read yet.'];
  }
  const { result } = study;
  if (result === null) return [`${study.record.name}: not compared, since the log or the inputs are not complete.`];
  const severe = result.warnings.filter(({ severity }) => severity !== 'note');
  return [
    sourceWords(study, result, units),
    speedWords(result.rows, units),
    efficiencyWords(study),
    [...warningSentences(severe, units).map(({ word, text }) => `${word}: ${text}`), bladeWords(result.blades)].join(
      ' ',
    ),
  ].filter((words) => words.trim() !== '');
}

function sourceWords({ record, text }: LogStudy, result: RoadLogResult, units: ResultUnits): string {
  const { ambient, ambientFrom, pulls } = result;
  const invented = record.invented ? ', invented' : '';
  const used = pulls.filter((pull) => pull.used);
  const ranges = used.map(
    ({ fromRpm, toRpm }) => `${formatNumber(fromRpm, 0)} to ${formatNumber(toRpm, 0)}${NO_BREAK_SPACE}rpm`,
  );
  const channels = text.columns
    .flatMap(({ role, unit, basis }) => {
      if (role === 'unused' || role === 'time') return [];
      const how = joined([unitLabelOf(role, unit), basis ?? '']);
      return [how === '' ? channelTitle(role) : `${channelTitle(role)} (${how})`];
    })
    .join(', ');
  const from = { log: 'logged', options: 'as said of the log', build: 'of the build' }[ambientFrom];
  const air = `${showResult(ambient.pressurePa, 'absolute-pressure', units)}, ${showResult(ambient.temperatureK, 'temperature', units)}, ${from}`;
  return `${record.name}${invented}, opened ${record.addedAt.slice(0, 10)}, SHA-256 ${text.hash.slice(0, 12)}. ${counted(used.length, 'pull')}: ${ranges.join('; ')}. Air: ${air}. Read: ${channels || 'kept rows'}.`;
}

const unitLabelOf = (role: LogChannelKey, unit: string): string =>
  LOG_UNITS[CHANNELS[role].kind].find(({ key }) => key === unit)?.label ?? unit;

/** 'Shaft speed measured (predicted): 3,500 rpm 135,850 (135,920); …' */
function speedWords(rows: readonly RoadLogRow[], units: ResultUnits): string {
  const most = Math.max(0, ...rows.map(({ engineSpeedRpm }) => engineSpeedRpm));
  const speeds = Array.from({ length: Math.floor(most / STEP_RPM) + 2 }, (_, at) => at * STEP_RPM);
  const bare = (value: number) => showResult(value, 'shaft-speed', units, { withUnit: false });
  const words = measuredAt(rows, speeds).map(
    ({ engineSpeedRpm, shaftSpeedRpm, predictedShaftSpeedRpm }) =>
      `${showResult(engineSpeedRpm, 'engine-speed', units)} ${bare(shaftSpeedRpm)} (${bare(predictedShaftSpeedRpm)})`,
  );
  return words.length === 0 ? '' : `Shaft speed in rpm, measured (predicted): ${words.join('; ')}.`;
}

function efficiencyWords({ result }: LogStudy): string {
  const fit = result?.fit ?? null;
  if (fit === null) return '';
  const words = fit.volumetricEfficiency.map(
    ({ engineSpeedRpm, value, entered, standardDeviation }) =>
      `${formatNumber(engineSpeedRpm, 0)}${NO_BREAK_SPACE}rpm ${formatNumber(100 * value, 1)}±${formatNumber(100 * standardDeviation, 1)} (${formatNumber(100 * entered, 1)})`,
  );
  return `Volumetric efficiency in %, joint fit with one standard deviation (entered): ${words.join('; ')}.`;
}
