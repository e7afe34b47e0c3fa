import type { MapDraft } from '../../../build/index.ts';
import type { MapFinding } from '../../../store/index.ts';
import type { Desk, DeskActions } from '../useDesk.ts';
import type { MapEdit } from '../useMapEdit.ts';

/** What every table of the open map needs. */
export interface TableProps {
  draft: MapDraft;
  findings: readonly MapFinding[];
  desk: Desk;
  actions: DeskActions;
  edit: MapEdit;
}
