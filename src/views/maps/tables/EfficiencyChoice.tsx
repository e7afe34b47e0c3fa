import type { MapDraft } from '../../../build/index.ts';
import { ChoiceRow } from '../../../widgets/index.ts';
import { setEfficiencyUnit } from '../model/editDraft.ts';
import type { MapEdit } from '../useMapEdit.ts';

const EFFICIENCY_UNITS = [
  { key: '%', name: '74 (percent)' },
  { key: '1', name: '0.74 (fraction)' },
] as const;

/** How the sheet prints its efficiencies. */
export function EfficiencyChoice({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  return (
    <ChoiceRow
      label="Efficiency"
      value={draft.efficiencyUnit}
      options={EFFICIENCY_UNITS}
      onChange={(unit) => edit((d) => setEfficiencyUnit(d, unit), 'change efficiency unit', 'efficiency-unit')}
    />
  );
}
