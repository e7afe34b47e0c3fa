import { useCallback, useMemo } from 'react';
import type { DraftFit, MapDraft } from '../../../build/index.ts';
import type { CompressorSurface } from '../../../compressor/index.ts';
import { formatNumber, sheetFlowUnits } from '../../../units/index.ts';
import { flowPerKgPerS } from '../model/draftPoints.ts';
import { fitQuality, fitWords } from '../model/fitQuality.ts';
import { sheetChart } from '../model/sheetChart.ts';
import { type PictureProps, SheetPicture } from './SheetPicture.tsx';

export interface MapPictureProps extends PictureProps {
  fit: DraftFit;
  withIslandPoints: boolean;
}

/** The fitted compressor map over the entered points. */
export function MapPicture({ fit, withIslandPoints, ...props }: MapPictureProps) {
  const { draft } = props;
  const chart = useMemo(() => sheetChart(draft, fit, withIslandPoints), [draft, fit, withIslandPoints]);
  const describe = useCallback(
    (at: { correctedMassFlowKgPerS: number; pressureRatio: number }) =>
      readout(draft, fit.surface, at, flowPerKgPerS(draft)),
    [draft, fit],
  );
  const help = 'Largest distance between the fitted surface and an entered point';
  return (
    <SheetPicture
      {...props}
      chart={chart}
      findings={fit.findings}
      describe={describe}
      kind="Compressor map"
      strip={{ words: stripWords(fit), isFitted: fit.surface !== null, help }}
    />
  );
}

/** How the fit stands. */
function stripWords(fit: DraftFit): string {
  const quality = fitQuality(fit);
  if (quality !== null) return fitWords(quality);
  const errors = fit.findings.filter((f) => f.severity === 'error').length;
  if (errors === 0) return 'Not a map yet: two speed lines with two points each are needed';
  return `Not a map yet: ${errors === 1 ? 'an error' : `${errors} errors`} in the audit below`;
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
