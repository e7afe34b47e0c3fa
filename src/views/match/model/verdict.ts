import { LIMITS, type LimitKey, marginSize } from '../../../match/index.ts';
import type { CandidateResults } from '../../../store/index.ts';
import { isPerTurbo, rangeWords, type Severity } from '../../shared/findingSentences.ts';

type Finding = CandidateResults['findings'][number];

/** What is said of one candidate, and where it leads. */
export interface VerdictPart {
  index: number;
  severity: Severity;
  /** 'Larger drop-in surges from 2,000 to 3,250 rpm.' */
  sentence: string;
  /** Id of the finding that it rests on (findingWords); null: it rests on none. */
  findingId: string | null;
  engineSpeedRpm: number | null;
}

const SEVERITIES: readonly Severity[] = ['stop', 'caution', 'note', 'good'];

/** What a candidate does where a limit is crossed or near; the others are put together from the table of limits. */
const DOES: Readonly<Record<string, string>> = {
  overspeed: 'overspeeds',
  'left-of-surge': 'surges',
  choked: 'chokes',
  'turbine-limited': 'stays below the goal',
  'turbine-never-holds': 'never reaches the goal',
  'gate-creep': 'creeps over the goal',
  'no-point-gate-too-small': 'creeps off the map',
  'injector-duty': 'runs out of injector',
  'injector-pressure': 'runs out of fuel pressure',
  'pump-flow': 'runs out of pump',
};

/** Margins that are not used up, but less than asked for. */
const NEAR: Readonly<Record<string, { value: string; to: string }>> = {
  'surge-margin': { value: 'surgeMargin', to: 'to surge' },
  'choke-margin': { value: 'chokeMargin', to: 'to choke' },
  'speed-reserve': { value: 'margin', to: "to the shaft's limit" },
};

/** One sentence a candidate, the worst first. */
export function verdictOf(sides: readonly { index: number; results: CandidateResults }[]): readonly VerdictPart[] {
  return sides
    .map(partOf)
    .sort((a, b) => SEVERITIES.indexOf(a.severity) - SEVERITIES.indexOf(b.severity) || a.index - b.index);
}

function partOf({ index, results }: { index: number; results: CandidateResults }): VerdictPart {
  const { candidate, input, problems, findings } = results;
  const count = input?.turboCount;
  const each = (code: string) => (isPerTurbo(code, count) ? ' (per turbo)' : '');
  const name = candidate.name.trim() || 'A candidate without a name';
  const part = (severity: Severity, words: string, at: Finding | null, id: string | null): VerdictPart => ({
    index,
    severity,
    sentence: `${name} ${words}${words.endsWith('.') ? '' : '.'}`,
    findingId: id,
    engineSpeedRpm: at?.engineSpeedRpm ?? null,
  });
  if (input === null) {
    // Not begun is not wrong.
    if (candidate.map === null && candidate.donor === null) return part('note', 'has no map yet', null, null);
    return part('stop', `cannot be computed: ${problems[0]?.message ?? 'its map is not complete.'}`, null, null);
  }
  const worst = findings[0];
  if (worst === undefined) return part('note', 'has no operating points yet', null, null);
  const near = NEAR[worst.code];
  const share = near && worst.values[near.value];
  if (near && share !== undefined)
    return part(
      'caution',
      `holds, with ${marginSize(share)} in hand ${near.to}${each(worst.code)}`,
      worst,
      `${worst.code}-1`,
    );
  if (worst.severity === 'stop' || worst.severity === 'caution') {
    return part(
      worst.severity,
      `${`${doing(worst)} ${rangeWords(worst.rangeRpm)}`.trimEnd()}${each(worst.code)}`,
      worst,
      `${worst.code}-1`,
    );
  }
  const least = leastMargin(results);
  const words = least === null ? 'holds its limits' : `holds, with ${least.words}${each('surge-margin')}`;
  return { ...part('good', words, null, null), engineSpeedRpm: least?.engineSpeedRpm ?? null };
}

function doing({ code, severity }: Finding): string {
  const limit = LIMITS[code as LimitKey];
  if (DOES[code] !== undefined) return DOES[code];
  if (limit !== undefined) return `crosses its limit of ${limit.name.toLowerCase()}`;
  if (code.startsWith('no-point')) return 'has no operating point';
  return severity === 'stop' ? 'does not hold' : 'holds, with a caution';
}

const MARGINS = [
  ['surgeMargin', 'to surge'],
  ['chokeMargin', 'to choke'],
  ['speedMargin', "to the shaft's limit"],
] as const;

/** What is nearest: '5.6 % in hand to surge'. */
function leastMargin({ points }: CandidateResults): { words: string; engineSpeedRpm: number } | null {
  let least: { margin: number; to: string; engineSpeedRpm: number } | null = null;
  for (const point of points) {
    if (point.status !== 'ok') continue;
    for (const [key, to] of MARGINS) {
      const margin = point[key];
      if (margin !== null && margin < (least?.margin ?? Number.POSITIVE_INFINITY))
        least = { margin, to, engineSpeedRpm: point.engineSpeedRpm };
    }
  }
  return least && { words: `${marginSize(least.margin)} in hand ${least.to}`, engineSpeedRpm: least.engineSpeedRpm };
}
