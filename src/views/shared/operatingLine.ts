import { type Finding, lineParts, type MatchInput, type OperatingPoint } from '../../match/index.ts';
import type { CandidateStyle, PlotOperatingLine, PlotOperatingPoint } from '../../plot/index.ts';

/** As many engine speeds get a mark and a number; more would crowd the map. */
const MOST_MARKS = 9;

/** Steps between marks that a reader can continue in his head, rpm. */
const MARK_STEPS = [250, 500, 1000, 2000, 5000];

/**
 * The line of one candidate as the map plot draws it. Engine speeds at round steps and both ends are marked.
 * @param input left out: the line does not say which part of it the turbine or a limit holds
 */
export function operatingLine(
  id: string,
  name: string,
  style: CandidateStyle,
  points: readonly OperatingPoint[],
  findings: readonly Finding[],
  input: MatchInput | null = null,
): PlotOperatingLine {
  const parts = input === null ? [] : lineParts(points, input);
  const marked = markedSpeeds(points.map((point) => point.engineSpeedRpm));
  return {
    id,
    name,
    style,
    driven: input?.turbine !== undefined,
    points: points.map((point, index): PlotOperatingPoint | null => {
      const { engineSpeedRpm } = point;
      const isMarked = marked.has(engineSpeedRpm);
      if (point.status !== 'ok') {
        if (point.demand === undefined || point.status === 'no-compression') return null;
        return { ...point.demand, engineSpeedRpm, extended: true, marked: isMarked, severity: 'stop', unmet: true };
      }
      return {
        correctedMassFlowKgPerS: point.correctedMassFlowKgPerS,
        pressureRatio: point.pressureRatio,
        engineSpeedRpm,
        extended: point.extended,
        marked: isMarked,
        part: parts[index] === 'goal' ? undefined : (parts[index] ?? undefined),
        severity: severityAt(engineSpeedRpm, findings),
      };
    }),
  };
}

function severityAt(engineSpeedRpm: number, findings: readonly Finding[]): 'stop' | 'caution' | undefined {
  let severity: 'caution' | undefined;
  for (const finding of findings) {
    if (finding.severity !== 'stop' && finding.severity !== 'caution') continue;
    const range = finding.rangeRpm;
    if (range === undefined || engineSpeedRpm < range[0] || engineSpeedRpm > range[1]) continue;
    if (finding.severity === 'stop') return 'stop';
    severity = 'caution';
  }
  return severity;
}

/** Both ends, and between them the engine speeds at the finest round step that does not crowd the map. */
function markedSpeeds(speeds: readonly number[]): ReadonlySet<number> {
  const first = speeds[0];
  const last = speeds.at(-1);
  if (first === undefined || last === undefined) return new Set();
  const step = MARK_STEPS.find((candidate) => (last - first) / candidate < MOST_MARKS) ?? MARK_STEPS.at(-1)!;
  const round = speeds.filter((speed) => {
    const rest = speed % step;
    return Math.min(rest, step - rest) < 1e-6;
  });
  return new Set([first, ...round, last]);
}

/** For a faint line: no marks, and nothing of demands that the map cannot meet. */
export function withoutMarks(line: PlotOperatingLine): PlotOperatingLine {
  return {
    ...line,
    points: line.points.map((point) =>
      point === null || point.unmet ? null : { ...point, marked: false, severity: undefined, part: undefined },
    ),
  };
}
