import { useMemo } from 'react';
import type { MapDraft } from '../../../build/index.ts';
import type { AuditFinding, FlowAndRatio, SheetPlace } from '../../../compressor/index.ts';
import {
  type MapChart,
  MapPlot,
  type MapPlotHandlers,
  type MapPlotModel,
  type PlotPlace,
} from '../../../plot/index.ts';
import { usePalette } from '../../shared/display.ts';
import styles from '../maps.module.css';
import { placeOnPlot } from '../model/draftPoints.ts';
import type { Target } from '../useDesk.ts';

/** What a picture of a sheet shows whatever is on it. */
export interface PictureProps {
  draft: MapDraft;
  /** The row under the pointer or the keyboard. */
  row: SheetPlace | null;
  /** The finding under the pointer or the keyboard. */
  pointed: SheetPlace | null;
  onShow: (target: Target) => void;
  /** The plot shows a pasted table that is not taken over yet. */
  isPreview: boolean;
}

interface SheetPictureProps extends PictureProps {
  chart: MapChart;
  findings: readonly AuditFinding[];
  /** Keep the same function while the fit is the same. */
  describe: (at: FlowAndRatio) => string[];
  /** 'Compressor map'. */
  kind: string;
  /** How the fit stands, in one line that is always there: the plot must not move when something is mistyped. */
  strip: { words: string; isFitted: boolean; help: string };
}

const SEVERITY = { error: 'stop', warning: 'caution', note: 'note' } as const;

/** The fitted sheet over the entered points, with the places of the audit. */
export function SheetPicture(props: SheetPictureProps) {
  const { draft, chart, findings, row, pointed, onShow, isPreview, describe, kind, strip } = props;
  const palette = usePalette();
  const places = useMemo(() => placesOf(draft, findings, pointed), [draft, findings, pointed]);
  const focus = useMemo(() => placeOnPlot(draft, row ?? undefined), [draft, row]);
  const model = useMemo<MapPlotModel>(() => ({ chart, operatingLines: [], places, focus }), [chart, places, focus]);
  const handlers = useMemo<MapPlotHandlers>(
    () => ({
      describe: ({ at }) => describe(at),
      onPlace: (id) => {
        const finding = findings[Number(id)];
        if (finding?.place) onShow({ place: finding.place, code: finding.code, message: finding.message });
      },
    }),
    [findings, describe, onShow],
  );
  return (
    <div className={styles.picture}>
      <div className={styles.plot}>
        <MapPlot
          model={model}
          palette={palette}
          handlers={handlers}
          kind={kind.toLowerCase()}
          label={`${kind} of ${draft.name}`}
        />
      </div>
      <p className={strip.isFitted ? styles.strip : `${styles.strip} ${styles.unfit}`} role="status" title={strip.help}>
        {isPreview && <strong>Preview, not taken over yet. </strong>}
        {strip.words}
      </p>
    </div>
  );
}

function placesOf(draft: MapDraft, findings: readonly AuditFinding[], pointed: SheetPlace | null): PlotPlace[] {
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
