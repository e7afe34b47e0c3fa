import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import { editMap, type MapDraft, mapTooBig, renameMap } from '../../build/index.ts';
import type { AuditFinding, SheetPlace } from '../../compressor/index.ts';
import { selectMap, useFieldDraft, useLuglineStore } from '../../store/index.ts';

/** A place with what tells its column. */
export type Target = Required<Pick<AuditFinding, 'code'>> & { place: SheetPlace; column?: AuditFinding['column'] };

export type DeskTab = 'sheet' | 'lines' | 'surge' | 'islands';

/** What of a map lies open: the tab, the chosen line and island, and the cell to go to. */
export interface Desk {
  tab: DeskTab;
  /** Table of the chosen line, or of all lines. */
  table: 'one' | 'all';
  line: number;
  island: number;
  /** A cell to go to; cleared by the table that went there. */
  goTo: Target | null;
  /** Row that the pointer or the keyboard rests on. */
  row: SheetPlace | null;
}

export interface DeskActions {
  set(changed: Partial<Desk>): void;
  /** Opens the table that holds the place and puts the keyboard into its cell. */
  show(target: Target): void;
}

const first: Desk = { tab: 'lines', table: 'one', line: 0, island: 0, goTo: null, row: null };

export function useDesk(): [Desk, DeskActions] {
  const [desk, setDesk] = useState(first);
  const set = useCallback(
    (changed: Partial<Desk>) =>
      setDesk((old) => {
        // A table that goes away says no more where the pointer was.
        const left = changed.tab !== undefined && changed.tab !== old.tab;
        return { ...old, ...(left && { row: null }), ...changed };
      }),
    [],
  );
  const show = useCallback(
    (target: Target) => setDesk((old) => ({ ...old, ...opened(target.place), row: null, goTo: target })),
    [],
  );
  return [desk, useMemo(() => ({ set, show }), [set, show])];
}

function opened(place: SheetPlace): Partial<Desk> {
  switch (place.part) {
    case 'speed-line':
      return { tab: 'lines', line: place.line };
    case 'surge-line':
      return { tab: 'surge' };
    case 'island':
      return { tab: 'islands', island: place.island };
    default:
      return { tab: 'sheet' };
  }
}

export type MapEdit = (change: (draft: MapDraft) => MapDraft, label: string, key: string) => void;

/** Changes the open map's tables, unless they would hold more than a map does. Changes with the same key within a second are one step of undo. */
export function useMapEdit(mapId: string): MapEdit {
  const store = useLuglineStore();
  return useCallback(
    (change, label, key) => {
      const { run, notify } = store.getState();
      const before = selectMap(store.getState(), mapId);
      const tooBig = before === null ? null : mapTooBig(change(before));
      if (tooBig === null || (before !== null && mapTooBig(before) !== null)) run(editMap(mapId, change, label, key));
      else notify({ id: 'too big', tone: 'trouble', text: `Nothing is changed. ${tooBig}`, details: [] });
    },
    [store, mapId],
  );
}

/** Puts the keyboard into the one field of a part once it is what is gone to; the ref is the field's holder. */
export function useGoneTo(isTarget: boolean, { set }: DeskActions) {
  const holder = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (!isTarget) return;
    holder.current?.querySelector('input')?.focus();
    set({ goTo: null });
  }, [isTarget, set]);
  return holder;
}

/** What every table of the open map needs. */
export interface TableProps {
  draft: MapDraft;
  findings: readonly AuditFinding[];
  desk: Desk;
  actions: DeskActions;
  edit: MapEdit;
}

/**
 * A map's name while it is typed: a name that the shelf can take is taken at every letter, and stored like any other text; one that it
 * cannot take as it stands (empty, or taken already) is kept as unread text until it is finished.
 */
export function useMapName({ id, name }: MapDraft) {
  const store = useLuglineStore();
  const [unread, keep] = useFieldDraft(`map ${id}/name`);
  const write = (text: string, { transient }: { transient: boolean }) => {
    const change = renameMap(id, text);
    const { workspace, run } = store.getState();
    const isTaken = change.perform(workspace).shelf[id]?.name === text;
    keep(transient && !isTaken ? text : null);
    if (isTaken || !transient) run(change, `name of map ${id}`);
  };
  return { text: unread ?? name, write };
}

/** The tag 'invented' stands beside a name that does not say so by itself. */
export const needsInventedTag = ({ invented, name }: Pick<MapDraft, 'invented' | 'name'>): boolean =>
  invented === true && !/\binvented\b/i.test(name);
