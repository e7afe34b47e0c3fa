import type { MapDraft } from '../../../build/index.ts';
import type { AuditFinding } from '../../../compressor/index.ts';
import type { Desk, DeskActions } from '../useDesk.ts';
import type { MapEdit } from '../useMapEdit.ts';

/** What every table of the open map needs. */
export interface TableProps {
  draft: MapDraft;
  findings: readonly AuditFinding[];
  desk: Desk;
  actions: DeskActions;
  edit: MapEdit;
}
