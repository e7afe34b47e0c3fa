import type { DraftCell3, MapDraft } from '../../../../build/index.ts';
import mapStyles from '../../maps.module.css';
import { PointGrid } from '../../tables/PointGrid.tsx';
import { lineColumns } from '../../tables/pointColumns.ts';
import { useColumns } from '../../tables/useColumns.ts';
import type { MapEdit } from '../../useMapEdit.ts';

/** The table of efficiencies printed at single places. */
export function ReadingsPanel({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  const { columns } = useColumns(draft, lineColumns);
  return (
    <div className={mapStyles.panel}>
      <p className={mapStyles.lead}>
        Efficiencies printed at single places. Enter the value above the picture, then click its place; at a point of a
        speed line it goes into that point's own cell.
      </p>
      <PointGrid
        label="Single efficiency readings"
        columns={columns}
        rows={draft.efficiencyReadings ?? []}
        onRows={(rows, key) =>
          edit((d) => ({ ...d, efficiencyReadings: rows as readonly DraftCell3[] }), 'edit readings', `readings.${key}`)
        }
        marks={[]}
        goTo={null}
        onArrived={() => undefined}
        onRow={() => undefined}
      />
    </div>
  );
}
