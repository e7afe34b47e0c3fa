import { useMemo } from 'react';
import type { SpreadDone } from '../../../match/index.ts';
import type { PlotOperatingLine, PlotSpread } from '../../../plot/index.ts';
import {
  type CandidateResults,
  isSameSpread,
  otherAltitudeLines,
  selectActiveBuild,
  useLugline,
} from '../../../store/index.ts';
import { formatQuantity, parseQuantity } from '../../../units/index.ts';
import { operatingLine, withoutMarks } from '../../shared/operatingLine.ts';

const NONE: readonly PlotOperatingLine[] = [];

/** Faint lines of other altitudes, where they are asked for. */
export function useOtherAltitudes(results: CandidateResults, index: number): readonly PlotOperatingLine[] {
  const isShown = useLugline((state) => state.workspace.settings.otherAltitudes === true);
  const build = useLugline((state) => (isShown ? selectActiveBuild(state) : null));
  const { input } = results;
  return useMemo(() => {
    if (build === null || input === null) return NONE;
    const { text, unit } = build.air.altitude;
    const day = parseQuantity(text, 'altitude', unit);
    const shown = build.altitudes.from.unit === 'ft' ? 'ft' : 'm';
    return otherAltitudeLines(build, input, day.ok ? day.si : null).map(({ altitudeM, points }) => ({
      ...withoutMarks(operatingLine(`altitude-${altitudeM}`, '', index % 2 === 0 ? 'a' : 'b', points, [])),
      name: formatQuantity(altitudeM, 'altitude', shown),
      faint: true,
    }));
  }, [build, input, index]);
}

/** Bars of the spread on the operating line, while it is one of the present inputs. */
export function useSpreadBars(index: number): readonly PlotSpread[] | undefined {
  const spread = useLugline((state) => {
    const { result } = state.studies.spread;
    const isOfThese = result?.candidateIndex === index && isSameSpread(result.build, selectActiveBuild(state));
    return isOfThese ? result.spread : null;
  });
  return useMemo(() => spreadBars(spread), [spread]);
}

function spreadBars(spread: SpreadDone | null): readonly PlotSpread[] | undefined {
  return spread?.atSpeeds.flatMap(({ bands: { correctedMassFlowKgPerS: flow, pressureRatio: ratio } }) =>
    flow === null || ratio === null
      ? []
      : [
          {
            correctedMassFlowKgPerS: { low: flow.p10, middle: flow.p50, high: flow.p90 },
            pressureRatio: { low: ratio.p10, middle: ratio.p50, high: ratio.p90 },
          },
        ],
  );
}
