import { type Build, type FiledFigure, type FiledSheet, filedChanges, sheetRecord } from '../../../build/index.ts';
import { fullTitle, RESULTS, type ResultKey, type ResultUnits, showResult } from '../../../match/index.ts';
import type { CandidateResults } from '../../../store/index.ts';
import { formatNumber } from '../../../units/index.ts';
import { candidateLetter } from '../../shared/display.ts';

/** What is different since the sheet was filed, in plain words. */
interface FiledWords {
  /** 'Filed 12 May 2026 with program 0.1.0.' */
  filed: string;
  /** One sentence over everything. */
  verdict: string;
  isSame: boolean;
  /** The largest changes, the rest as a count. */
  details: readonly string[];
}

const MOST_DETAILS = 6;

/** The record of the build's sheet as it stands now: every candidate's line, whichever are printed. */
export function presentRecord(build: Build, version: string, results: readonly CandidateResults[]): FiledSheet {
  const lines = results.map(({ candidate, points }) => ({ candidateId: candidate.id, points }));
  return sheetRecord(build, version, lines);
}

/** What has changed since the sheet was filed; null: it was never filed. */
export function filedWords(build: Build, now: FiledSheet, units: ResultUnits): FiledWords | null {
  const { filed } = build;
  if (filed === undefined) return null;
  const { programVersion, inputsChanged, figures } = filedChanges(filed, now);
  const when = filed.dateText.trim() === '' ? 'without a date' : filed.dateText.trim();
  const head = `Filed ${when}, program ${filed.programVersion}.`;
  const parts = [
    ...(inputsChanged ? ['Inputs were changed since.'] : []),
    ...(programVersion === null
      ? []
      : [`It was made by program ${programVersion.was}; this is ${programVersion.now}.`]),
    figures.length === 0
      ? 'Every number is the same to the last digit.'
      : `${formatNumber(figures.length, 0)} of its numbers are different now.`,
  ];
  const isSame = figures.length === 0 && !inputsChanged && programVersion === null;
  const verdict = isSame
    ? 'Nothing has changed since: same inputs, same program, same numbers to the last digit.'
    : parts.join(' ');
  return { filed: head, verdict, isSame, details: detailsOf(build, figures, units) };
}

type Change = { was: FiledFigure | null; now: FiledFigure | null };

function detailsOf(build: Build, figures: readonly Change[], units: ResultUnits): string[] {
  const ranked = [...figures].sort((a, b) => size(b) - size(a));
  const named = ranked.slice(0, MOST_DETAILS).map((change) => changeWords(build, change, units));
  const left = figures.length - named.length;
  return left > 0 ? [...named, `and ${formatNumber(left, 0)} more.`] : named;
}

/** As a share, so that a change of speed and one of a margin can be ranked; what came or went is largest. */
function size({ was, now }: Change): number {
  if (was?.value == null || now?.value == null) return Number.POSITIVE_INFINITY;
  return Math.abs(now.value - was.value) / Math.max(Math.abs(was.value), 1e-9);
}

function changeWords(build: Build, { was, now }: Change, units: ResultUnits): string {
  const figure = was ?? now;
  if (figure === null) return '';
  const index = build.candidates.findIndex(({ id }) => id === figure.candidateId);
  const who = index < 0 ? 'a candidate that is gone' : candidateLetter(index);
  const where = `${who}, ${formatNumber(figure.engineSpeedRpm, 0)}\u00a0rpm`;
  const known = figure.key in RESULTS ? RESULTS[figure.key as ResultKey] : undefined;
  if (known === undefined) {
    return now === null
      ? `${where}: there was no point (${figure.key}), now there is one.`
      : `${where}: no point now (${figure.key}).`;
  }
  const text = (side: FiledFigure | null) => (side === null ? 'none' : showResult(side.value, known.shown, units));
  const before = text(was);
  const after = text(now);
  const digits = before === after ? ' (in digits that are not printed)' : '';
  return `${where}: ${inSentence(fullTitle(figure.key as ResultKey, units))} was ${before}, is ${after}${digits}.`;
}

function inSentence(title: string): string {
  return title.charAt(0).toLowerCase() + title.slice(1);
}
