import { useCallback } from 'react';
import { editMap, type MapDraft } from '../../build/index.ts';
import { useApply } from '../../store/index.ts';

export type MapEdit = (change: (draft: MapDraft) => MapDraft, label: string, key: string) => void;

/** Changes the open map's tables. Changes with the same key within a second are one step of undo. */
export function useMapEdit(mapId: string): MapEdit {
  const apply = useApply();
  return useCallback((change, label, key) => apply(editMap(mapId, change, label, key)), [apply, mapId]);
}
