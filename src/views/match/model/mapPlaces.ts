import type { FlowAndRatio } from '../../../compressor/index.ts';
import type { OperatingPoint } from '../../../match/index.ts';
import type { PlotPlace } from '../../../plot/index.ts';
import type { FindingWords } from '../../shared/findingWords.ts';

/** Where an engine speed stands on the map: its operating point, else the demand that could not be met; null where neither is known. */
export function placeOf(points: readonly OperatingPoint[], engineSpeedRpm: number | null): FlowAndRatio | null {
  if (engineSpeedRpm === null) return null;
  const point = points.find((candidate) => candidate.engineSpeedRpm === engineSpeedRpm);
  if (point === undefined) return null;
  const { correctedMassFlowKgPerS, pressureRatio } = point.status === 'ok' ? point : (point.demand ?? NOWHERE);
  return Number.isFinite(correctedMassFlowKgPerS) ? { correctedMassFlowKgPerS, pressureRatio } : null;
}

const NOWHERE = { correctedMassFlowKgPerS: Number.NaN, pressureRatio: Number.NaN };

/**
 * The places that the map marks: the chosen finding's, and those of the findings that stop or caution. Notes are marked only when
 * chosen, or the map would be full of marks.
 */
export function mapPlaces(
  findings: readonly FindingWords[],
  points: readonly OperatingPoint[],
  chosenId: string | null,
): PlotPlace[] {
  return findings.flatMap(({ id, severity, engineSpeedRpm }) => {
    const highlighted = id === chosenId;
    if (!highlighted && severity !== 'stop' && severity !== 'caution') return [];
    const at = placeOf(points, engineSpeedRpm);
    return at === null ? [] : [{ id, at, severity, label: '', highlighted }];
  });
}
