import { useCallback, useMemo } from 'react';
import type { MapDraft, TurbineDraftFit } from '../../../build/index.ts';
import type { FlowAndRatio } from '../../../compressor/index.ts';
import { formatNumber } from '../../../units/index.ts';
import { flowPerKgPerS } from '../model/draftPoints.ts';
import { flowUnitLabel, speedUnitLabel } from '../model/sheetWords.ts';
import { capacityCurves, turbineChart } from '../model/turbineChart.ts';
import { turbineQuality, turbineWords } from '../model/turbineQuality.ts';
import { type PictureProps, SheetPicture } from './SheetPicture.tsx';

/** The fitted swallowing capacity over the entered points: flow over expansion ratio. */
export function TurbinePicture({ fit, ...props }: PictureProps & { fit: TurbineDraftFit }) {
  const { draft } = props;
  const chart = useMemo(() => turbineChart(draft, fit), [draft, fit]);
  const describe = useCallback((at: FlowAndRatio) => readout(draft, fit, at), [draft, fit]);
  const help =
    'Area and exponent of the nozzle that swallows as much; how far points lie off a smooth line, standard deviation';
  return (
    <SheetPicture
      {...props}
      chart={chart}
      findings={fit.findings}
      describe={describe}
      kind="Turbine sheet"
      strip={{ words: stripWords(fit), isFitted: fit.capacity !== null, help }}
    />
  );
}

function stripWords(fit: TurbineDraftFit): string {
  const quality = turbineQuality(fit);
  if (quality !== null) return turbineWords(quality);
  const errors = fit.findings.filter((f) => f.severity === 'error').length;
  if (errors === 0) return 'No curve yet: one point of expansion ratio and flow is needed, better several';
  return `No curve yet: ${errors === 1 ? 'an error' : `${errors} errors`} in the audit below`;
}

/** Where the pointer is, and what the fitted curves have at that expansion ratio. */
function readout(draft: MapDraft, fit: TurbineDraftFit, at: FlowAndRatio): string[] {
  const { pressureRatio: ratio } = at;
  const perKgPerS = flowPerKgPerS(draft);
  const flow = (kgPerS: number) => {
    const value = kgPerS * perKgPerS;
    return `${formatNumber(value, value < 0.1 ? 5 : value < 10 ? 4 : 2)} ${flowUnitLabel(draft)}`;
  };
  const lines = [flow(at.correctedMassFlowKgPerS), `Expansion ratio ${formatNumber(ratio, 2)}`];
  const { capacity } = fit;
  if (capacity === null || !(ratio > 1)) return lines;
  return [
    ...lines,
    ...capacityCurves(draft, fit, ratio).map(({ speed, at: curve }, i) => {
      const reduced = capacity.lines[i]?.reducedSpeed ?? 0;
      const notes = [
        capacity.isChoked(ratio, reduced) ? 'choked' : '',
        capacity.isExtended(ratio, reduced) ? 'extended' : '',
      ].filter((note) => note !== '');
      const name = speed === null ? 'Curve' : `At ${formatNumber(speed, 0)} ${speedUnitLabel(draft)}`;
      return [`${name}: ${flow(curve(ratio).correctedMassFlowKgPerS)}`, ...notes].join(', ');
    }),
  ];
}
