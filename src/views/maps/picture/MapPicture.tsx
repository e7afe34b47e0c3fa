import { useMemo } from 'react';
import type { DraftFit, MapDraft } from '../../../build/index.ts';
import { MapPlot, type MapPlotHandlers, type MapPlotModel, type PlotPlace } from '../../../plot/index.ts';
import type { CompressorSurface, MapFinding, SheetPlace } from '../../../store/index.ts';
import { formatNumber, sheetFlowUnits } from '../../../units/index.ts';
import { usePalette } from '../../shared/usePalette.ts';
import styles from '../maps.module.css';
import { placeOnPlot } from '../model/draftPoints.ts';
import { fitQuality, fitWords } from '../model/fitQuality.ts';
import { sheetChart } from '../model/sheetChart.ts';
import type { Target } from '../useDesk.ts';

export interface MapPictureProps {
  draft: MapDraft;
  fit: DraftFit;
  /** The row under the pointer or the keyboard. */
  row: SheetPlace | null;
  /** The finding under the pointer or the keyboard. */
  pointed: SheetPlace | null;
  onShow: (target: Target) => void;
  /** The plot shows a pasted table that is not taken over yet. */
  isPreview: boolean;
  withIslandPoints: boolean;
}

const SEVERITY = { error: 'stop', warning: 'caution', note: 'note' } as const;

/** The fitted map over the entered points, with the places of the audit. */
export function MapPicture({ draft, fit, row, pointed, onShow, isPreview, withIslandPoints }: MapPictureProps) {
  const palette = usePalette();
  const chart = useMemo(() => sheetChart(draft, fit, withIslandPoints), [draft, fit, withIslandPoints]);
  const places = useMemo(() => placesOf(draft, fit.findings, pointed), [draft, fit.findings, pointed]);
  const focus = useMemo(() => placeOnPlot(draft, row ?? undefined), [draft, row]);
  const model = useMemo<MapPlotModel>(() => ({ chart, operatingLines: [], places, focus }), [chart, places, focus]);
  const handlers = useMemo<MapPlotHandlers>(
    () => ({
      describe: ({ at }) => readout(draft, fit.surface, at, chart.flowAxis.perKgPerS),
      onPlace: (id) => {
        const finding = fit.findings[Number(id)];
        if (finding?.place) onShow({ place: finding.place, code: finding.code, message: finding.message });
      },
    }),
    [draft, fit, chart, onShow],
  );
  return (
    <div className={styles.picture}>
      <div className={styles.plot}>
        <MapPlot model={model} palette={palette} handlers={handlers} label={`Compressor map of ${draft.name}`} />
      </div>
      <p
        className={fit.surface === null ? `${styles.strip} ${styles.unfit}` : styles.strip}
        role="status"
        title="Largest distance between the fitted surface and an entered point"
      >
        {isPreview && <strong>Preview, not taken over yet. </strong>}
        {stripWords(fit)}
      </p>
    </div>
  );
}

/** How the fit stands, in one line that is always there: the plot must not move when something is mistyped. */
function stripWords(fit: DraftFit): string {
  const quality = fitQuality(fit);
  if (quality !== null) return fitWords(quality);
  const errors = fit.findings.filter((f) => f.severity === 'error').length;
  if (errors === 0) return 'Not a map yet: two speed lines with two points each are needed';
  return `Not a map yet: ${errors === 1 ? 'an error' : `${errors} errors`} in the audit below`;
}

function placesOf(draft: MapDraft, findings: readonly MapFinding[], pointed: SheetPlace | null): PlotPlace[] {
  const target = pointed === null ? null : JSON.stringify(pointed);
  return findings.flatMap((finding, i): PlotPlace[] => {
    const isPointed = target !== null && JSON.stringify(finding.place) === target;
    if (finding.severity === 'note' && !isPointed) return [];
    const at = placeOnPlot(draft, finding.place);
    return at === null
      ? []
      : [{ id: String(i), at, severity: SEVERITY[finding.severity], label: '', highlighted: isPointed }];
  });
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
