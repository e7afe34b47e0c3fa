import type { MapDraft } from './document.ts';

/** Whether the tables are those of a turbine sheet; else of a compressor map. A list that offers the one never offers the other. */
export function isTurbineSheet(draft: Pick<MapDraft, 'kind'>): boolean {
  return draft.kind === 'turbine';
}
