import { type ResultUnits, showResult } from '../../../match/index.ts';
import type {
  CauseGroup,
  CauseKey,
  FittedVePoint,
  RoadLogResult,
  RoadLogWarning,
  ShaftHighest,
} from '../../../match/types.ts';
import type { LogStudy } from '../../../store/index.ts';
import { formatNumber, NO_BREAK_SPACE } from '../../../units/index.ts';
import { causeNames, channelTitle, warningSentences } from '../../shared/logSentences.ts';

/** Where pressing the answer leads: a row of the log, or a part of the page. */
export type AnswerPlace =
  | { row: number; timeS: number | null }
  | 'columns'
  | 'questions'
  | 'findings'
  | 'take'
  | 'next';

/** One thing that the log says, and where it leads. */
interface AnswerPart {
  severity: 'stop' | 'caution' | 'note' | 'good';
  sentence: string;
  place: AnswerPlace;
}

export interface LogAnswer {
  /** The worst first, two at the most. */
  said: readonly AnswerPart[];
  /** What to do; '' where there is nothing. */
  next: string;
}

type Part = Omit<AnswerPart, 'sentence'> & { words: string; next: string };

const percent = (share: number, decimals = 1) => `${formatNumber(100 * share, decimals)}${NO_BREAK_SPACE}%`;
const rpm = (value: number) => `${formatNumber(value, 0)}${NO_BREAK_SPACE}rpm`;
const capital = (words: string) => words.charAt(0).toUpperCase() + words.slice(1);

/**
 * What the log comes to, worst first: the shaft against its limit, then whether the car is where the match said; and what
 * to do next. Nothing is said that the log does not show. null where nothing could be compared; the line of the state says why.
 */
export function logAnswer({ text, result }: LogStudy, units: ResultUnits): LogAnswer | null {
  const stopped = text.problems.find(({ severity }) => severity === 'stop');
  if (stopped !== undefined) return answerOf([{ severity: 'stop', place: 'columns', ...cut(stopped.message) }]);
  if (result === null) return null;
  const isPegged = text.findings.some(({ code, channel }) => code === 'pegged' && channel === 'shaftSpeed');
  const meter = leadingMeter(result);
  const known = new Set<RoadLogWarning['code']>(['overspeed', 'overspeed-between-rows', 'no-shaft-speed']);
  const other = result.warnings.find(
    ({ severity, code }) => severity !== 'note' && !known.has(code) && !(code === 'meters-differ' && meter !== null),
  );
  const [warned] = other === undefined ? [] : warningSentences([other], units);
  const parts: Part[] = [shaftPart(result, isPegged, units)];
  if (other !== undefined && warned !== undefined)
    parts.push({
      severity: other.severity,
      place: other.row === null ? 'findings' : { row: other.row, timeS: null },
      ...cut(warned.text),
    });
  const car = meter === null ? carPart(result) : meterPart(meter);
  if (car !== null) parts.push(car);
  if (text.questions.length > 0)
    parts.push({ severity: 'note', words: '', next: 'Answer the questions under “To be sure”', place: 'questions' });
  return answerOf(parts);
}

const ORDER: readonly AnswerPart['severity'][] = ['stop', 'caution', 'note', 'good'];

/** The two worst, each said once; the first that knows what to do says it. */
function answerOf(parts: readonly Part[]): LogAnswer {
  const sorted = ORDER.flatMap((severity) => parts.filter((part) => part.severity === severity));
  const said = sorted.filter(({ words }) => words !== '').slice(0, 2);
  return {
    said: said.map(({ severity, words, place }) => ({ severity, sentence: `${capital(words)}.`, place })),
    next: sorted.find(({ next }) => next !== '')?.next ?? '',
  };
}

/** The first sentence as what is said, the others as what to do. */
function cut(sentences: string): { words: string; next: string } {
  const end = /[.](?=\s|$)/.exec(sentences)?.index ?? sentences.length;
  return {
    words: sentences.charAt(0).toLowerCase() + sentences.slice(1, end),
    next: sentences
      .slice(end + 1)
      .trim()
      .replace(/\.$/, ''),
  };
}

/** 'at 12.3 s, 4,850 rpm' */
function when({ timeS, engineSpeedRpm }: ShaftHighest): string {
  const parts = [
    ...(timeS === null ? [] : [`at ${formatNumber(timeS, 1)}${NO_BREAK_SPACE}s`]),
    ...(engineSpeedRpm === null ? [] : [`${rpm(engineSpeedRpm)} of the engine`]),
  ];
  return parts.length === 0 ? '' : ` ${parts.join(', ')}`;
}

function shaftPart({ highest, blades }: RoadLogResult, isPegged: boolean, units: ResultUnits): Part {
  const note = { severity: 'note', next: '', place: 'columns' } as const;
  if (highest === null)
    return {
      ...note,
      severity: 'caution',
      words: 'no shaft speed was logged, so it is not known whether the shaft stayed under its limit',
    };
  const place = { row: highest.row, timeS: highest.timeS };
  const speed = (value: number) => showResult(value, 'shaft-speed', units);
  const first = blades.candidates[0];
  if (blades.verdict === 'other-count' && first !== undefined) {
    const count = first.blades === null ? 'another blade count' : `${formatNumber(first.blades, 0)} blades`;
    const true_ = highest.shaftSpeedRpm * first.shaftSpeedFactor;
    const over = highest.limitRpm !== null && true_ > highest.limitRpm ? ', over the limit' : '';
    return {
      severity: 'stop',
      words: `the logged shaft speed is not to be believed: ${count} would make it at most ${speed(true_)}${over}`,
      next: `Count the blades that pass the pickup, and take ${first.blades === null ? 'the factor' : 'that count'} below`,
      place: 'findings',
    };
  }
  const { shaftSpeedRpm, betweenRowsRpm, limitRpm, reserve } = highest;
  if (limitRpm === null)
    return {
      severity: 'note',
      words: `the shaft reached ${speed(shaftSpeedRpm)}${when(highest)}, and no limit is entered to hold it against`,
      next: 'Enter the limit of the shaft speed with the candidate',
      place,
    };
  const share = Math.abs(shaftSpeedRpm / limitRpm - 1);
  const by = `${speed(Math.abs(shaftSpeedRpm - limitRpm))} (${percent(share)})`;
  if (shaftSpeedRpm > limitRpm)
    return {
      severity: 'stop',
      words: `the shaft went over its limit by ${by}${when(highest)}`,
      next: 'Lower the boost before the next pull: a wheel that bursts throws metal',
      place,
    };
  if (isPegged)
    return {
      severity: 'caution',
      words: `the shaft-speed sensor was at its end at ${speed(shaftSpeedRpm)}: how fast the shaft was is not known`,
      next: 'Use a sensor or a divider with a wider range before the next pull',
      place,
    };
  if (shaftSpeedRpm + betweenRowsRpm > limitRpm)
    return {
      severity: 'caution',
      words: `the shaft stayed under its limit in every row by ${by}, but may have been over it between two${when(highest)}`,
      next: 'Log faster, or stay lower',
      place,
    };
  if (shaftSpeedRpm > limitRpm * (1 - reserve))
    return {
      severity: 'caution',
      words: `the shaft stayed under its limit by ${by}, less than the reserve of ${percent(reserve)}${when(highest)}`,
      next: 'Ask for less boost there',
      place,
    };
  return { severity: 'good', words: `the shaft stayed under its limit by ${by}`, next: '', place };
}

/** A fit is off where it is more than this many of its own deviations from what was entered. */
const OFF = 2;
const LOOK = 'Look at what may be off, under “What the log says”';

function carPart({ fit, blades, causes, whatToLogNext }: RoadLogResult): Part | null {
  const { logRatio, standardDeviation } = blades;
  if (blades.verdict === 'other-count') return null;
  const speed =
    logRatio === null || standardDeviation === null
      ? null
      : `shaft speed ${percent(Math.abs(Math.expm1(logRatio)))} ${logRatio < 0 ? 'below' : 'above'} the predicted one`;
  const [advice] = whatToLogNext;
  const advised =
    advice === undefined
      ? ''
      : `Log the ${advice.channels.map((key) => (key === 'zero-gauge' ? 'gauge with the engine off' : channelTitle(key))).join(' and the ')} as well: it narrows the volumetric efficiency most`;
  const far = fit === null ? null : farthest(fit.volumetricEfficiency);
  const lead = causes[0]?.leads ? causes[0] : null;
  if (far !== null) return offPart(far, lead, speed);
  if (logRatio !== null && Math.abs(logRatio) > OFF * (standardDeviation ?? 0))
    return {
      severity: 'caution',
      words: `the car is not where the match said: ${speed}, more than the inputs allow`,
      next: LOOK,
      place: 'findings',
    };
  if (speed === null && fit === null) return null;
  const band =
    speed === null
      ? 'volumetric efficiency as entered'
      : `${speed}, within the ±${percent(standardDeviation ?? 0)} that the inputs allow`;
  return { severity: 'good', words: `the car is where the match said: ${band}`, next: advised, place: 'next' };
}

const METERS: ReadonlyMap<CauseKey, string> = new Map([
  ['airMassScale', 'air-mass sensor'],
  ['fuelScale', 'fuel flow with its lambda'],
  ['powerScale', 'logged power'],
]);

/** The group that leads and the flow meter whose scale is in it; null where none is. */
function leadingMeter({ causes, blades }: RoadLogResult) {
  const [lead] = causes;
  const member = lead?.members.find(({ key }) => METERS.has(key));
  const isLead = lead?.leads === true && member !== undefined && blades.verdict !== 'other-count';
  return isLead ? { lead, key: member.key, off: member.alone } : null;
}

/** A further flow meter does not agree: its scale, or what the log cannot tell from that. Nothing is then said against the car. */
function meterPart({ lead, key, off }: { lead: CauseGroup; key: CauseKey; off: number }): Part {
  const name = METERS.get(key) ?? '';
  const reads = `the ${name} reads about ${percent(Math.abs(off))} ${off < 0 ? 'below' : 'above'}`;
  const isAlone = lead.members.length === 1;
  // Air that leaks away, or gets in behind the sensor, takes from a meter and never adds to it.
  const leak = off < 0 ? ', or air leaks' : '';
  return {
    severity: 'caution',
    words: isAlone
      ? `${reads} all else in this log: most likely its scale is off${leak}`
      : `${reads} the match: this log cannot tell which is off: ${causeNames(lead)}${leak}`,
    next: isAlone ? `Check how the ${name} is scaled before it is believed` : tellApart(lead),
    place: 'findings',
  };
}

const tellApart = ({ separatedBy }: CauseGroup): string =>
  separatedBy === null ? LOOK : `Log the ${channelTitle(separatedBy)}: it would tell which`;

/** The point of the fitted curve that is farthest from the entered one in its own deviations; null where none is off. */
function farthest(points: readonly FittedVePoint[]): FittedVePoint | null {
  const away = ({ value, entered, standardDeviation }: FittedVePoint) => Math.abs(value - entered) / standardDeviation;
  const most = points.reduce<FittedVePoint | null>(
    (best, point) => (best === null || away(point) > away(best) ? point : best),
    null,
  );
  return most !== null && away(most) > OFF ? most : null;
}

function offPart(
  { engineSpeedRpm, value, entered }: FittedVePoint,
  lead: CauseGroup | null,
  speed: string | null,
): Part {
  const change = value / entered - 1;
  const members = lead?.members ?? [];
  if (lead === null || (members.length === 1 && members[0]?.key === 'volumetricEfficiency'))
    return {
      severity: 'caution',
      words: `near ${rpm(Math.round(engineSpeedRpm / 100) * 100)} the engine draws ${percent(Math.abs(change))} ${change < 0 ? 'less' : 'more'} air than entered`,
      next: 'Look at this volumetric efficiency beside the entered one, and take it',
      place: 'take',
    };
  const which = members.length > 1 ? 'this log cannot tell which is off' : 'most likely off';
  return {
    severity: 'caution',
    words: `the car is not where the match said${speed === null ? '' : `: ${speed}`}; ${which}: ${causeNames(lead)}`,
    next: tellApart(lead),
    place: 'findings',
  };
}
