import { useCallback, useMemo, useRef, useState } from 'react';
import type { MapDraft } from '../../../build/index.ts';
import type { PicturePlace } from '../../../reading/index.ts';
import { useFieldDraft } from '../../../store/index.ts';
import type { Desk, DeskActions, MapEdit } from '../desk.ts';
import { viewOf } from '../sheetKinds/kinds.ts';
import type { PixelReader } from './picture/usePicture.ts';
import type { StageEvents } from './stage/stageView.ts';
import {
  acceptProposal,
  addPoint,
  deletePoint,
  movePoint,
  type Proposal,
  placedRows,
  placeReading,
  pointId,
  pointOfId,
  sameTarget,
  type Target,
  targetName,
  targetRows,
} from './tracePoints.ts';

/** What tracing goes by just now: handlers read it when they run, because snapping answers later than the click. */
interface TraceState {
  draft: MapDraft;
  target: Target | null;
  pixels: PixelReader | null;
  isSnapping: boolean;
  /** Efficiency that the next single reading gets, as the tables type it. */
  efficiency: string;
  proposal: Proposal | null;
  selected: string | null;
}

export type Tracing = ReturnType<typeof useTracing>;

/** Tracing by pointer and keys. Every change of the tables is one step of undo. */
export function useTracing(input: {
  draft: MapDraft;
  edit: MapEdit;
  desk: Desk;
  actions: DeskActions;
  pixels: PixelReader | null;
}) {
  const { draft, edit, desk, actions, pixels } = input;
  const [onReadings, setOnReadings] = useState(false);
  const [selected, select] = useState<string | null>(null);
  const [isSnapping, setSnapping] = useState(true);
  /** The next click follows the line. */
  const [isFollowing, setFollowing] = useState(false);
  const [typed, setEfficiency] = useFieldDraft(`map ${draft.id}/next efficiency`);
  const efficiency = typed ?? '';
  const [proposal, propose] = useState<Proposal | null>(null);
  const [outcome, report] = useState<string | null>(null);
  const target = useMemo(
    () => (onReadings ? ({ kind: 'readings' } as const) : targetOfDesk(draft, desk)),
    [onReadings, draft, desk],
  );
  const choose = useCallback(
    (next: Target) => {
      setOnReadings(next.kind === 'readings');
      propose(null);
      select(null);
      if (next.kind === 'speed-line') actions.set({ tab: 'lines', line: next.line });
      if (next.kind === 'surge-line') actions.set({ tab: 'surge' });
      if (next.kind === 'island') actions.set({ tab: 'islands', island: next.island });
    },
    [actions],
  );
  const newest = useRef<TraceState>(null!);
  newest.current = { draft, target, pixels, isSnapping, efficiency, proposal, selected };
  const events = useMemo(
    () => traceEvents({ now: () => newest.current, edit, choose, select, propose, setFollowing, report }),
    [edit, choose],
  );
  return {
    target,
    choose,
    selected,
    select,
    isSnapping,
    setSnapping,
    isFollowing,
    setFollowing,
    efficiency,
    setEfficiency,
    proposal,
    dismiss: () => {
      propose(null);
      report(null);
    },
    /** What the last act came to, for the line below the picture. */
    status: outcome ?? (target === null ? null : `Tracing ${targetName(draft, target)}`),
    events,
  };
}

/** The tables and the picture show the same line: the tab and the row that are open say what is traced. */
function targetOfDesk(draft: MapDraft, { tab, line, island }: Desk): Target | null {
  if (tab === 'lines' && draft.speedLines[line] !== undefined) return { kind: 'speed-line', line };
  if (tab === 'surge') return { kind: 'surge-line' };
  if (tab === 'islands' && draft.islands[island] !== undefined) return { kind: 'island', island };
  return null;
}

/** Points that are worth proposing along one line: the surface needs no more, and a person can still look at each. */
const MOST_PROPOSED = 14;

/** What pointer and keys on the picture do to the tables. Each act is one step of undo. */
function traceEvents(to: {
  now: () => TraceState;
  edit: MapEdit;
  choose: (target: Target) => void;
  select: (id: string | null) => void;
  propose: (proposal: Proposal | null) => void;
  setFollowing: (on: boolean) => void;
  report: (outcome: string | null) => void;
}) {
  const { now, edit, select, report } = to;
  /** Clicks are worked off in their order, however long one takes to snap. */
  let queue = Promise.resolve();
  const inTurn = (act: () => Promise<void>) => {
    queue = queue.then(act);
  };
  /** An act that is a step of undo by itself. */
  const once = (change: (draft: MapDraft) => MapDraft, label: string, key: string) =>
    edit(change, label, `${key}.${Date.now()}`);
  const snapped = async (place: PicturePlace, radiusPx: number): Promise<PicturePlace> => {
    const { pixels, isSnapping } = now();
    if (!isSnapping || pixels === null) return place;
    return (await pixels.snap(place, radiusPx))?.place ?? place;
  };
  const place = async (at: PicturePlace, radiusPx: number): Promise<void> => {
    const there = await snapped(at, radiusPx);
    const { draft, target, efficiency } = now();
    if (target === null) {
      const kinds = viewOf(draft).traced;
      return report(`Choose first what is traced: ${kinds}.`);
    }
    if (target.kind === 'readings') {
      once((d) => placeReading(d, there, radiusPx, efficiency), 'read efficiency', 'reading');
      return report(efficiency === '' ? 'Enter its efficiency in the table.' : null);
    }
    let row: number | null = null;
    const add = (d: MapDraft): MapDraft => {
      const added = addPoint(d, target, there);
      row = added.row;
      return added.draft;
    };
    once(add, 'trace point', 'trace');
    if (row !== null) select(pointId(target, row));
    report(row === null ? 'Nothing is read there: the axes are not known yet, or the place lies outside them.' : null);
  };
  const follow = async (at: PicturePlace, radiusPx: number): Promise<void> => {
    to.setFollowing(false);
    const { pixels, target } = now();
    if (pixels === null || target === null) return;
    const options = { radiusPx: Math.max(4, radiusPx), thinPx: 0.35, mostPoints: MOST_PROPOSED };
    const found = await pixels.follow(at, options);
    if (!found.ok) return report(found.message);
    to.propose({ target, places: found.points });
    report(`${found.points.length} points are proposed. Enter takes them, Escape leaves them.`);
  };
  return {
    onPlace: (at, radiusPx) => inTurn(() => place(at, radiusPx)),
    onFollow: (at, radiusPx) => inTurn(() => follow(at, radiusPx)),
    onSelect: (id) => {
      const point = pointOfId(id);
      if (point === null) return;
      if (!sameTarget(point.target, now().target)) to.choose(point.target);
      select(id);
    },
    onMove: (id, place, { isLast, radiusPx, by, isFine }) => {
      const point = pointOfId(id);
      if (point === null) return;
      const move = (there: PicturePlace) => edit((d) => movePoint(d, point, there), 'move point', `move.${id}`);
      move(place);
      if (isLast && by === 'drag' && isFine !== true && now().isSnapping)
        inTurn(async () => move(await snapped(place, radiusPx)));
    },
    onRemove: (id) => {
      const point = pointOfId(id);
      if (point === null) return;
      const left = targetRows(now().draft, point.target).length - 1;
      once((d) => deletePoint(d, point), 'delete point', 'delete');
      select(left < 1 ? null : pointId(point.target, Math.min(point.row, left - 1)));
    },
    onStep: (by) => {
      const { draft, target, selected } = now();
      const rows = target === null ? [] : placedRows(draft, target).map(({ row }) => row);
      if (target === null || rows.length === 0) return;
      const at = rows.indexOf(selected === null ? -1 : (pointOfId(selected)?.row ?? -1));
      select(pointId(target, rows[at < 0 ? 0 : (at + by + rows.length) % rows.length]!));
    },
    /** Halfway to the next point; from the last one halfway to the one before. */
    onInsert: () => {
      const { draft, selected } = now();
      const point = selected === null ? null : pointOfId(selected);
      if (point === null) return;
      const placed = placedRows(draft, point.target);
      const at = placed.findIndex(({ row }) => row === point.row);
      const here = placed[at];
      const next = placed[at + 1] ?? placed[at - 1];
      if (here === undefined || next === undefined) return;
      const middle = { x: (here.place.x + next.place.x) / 2, y: (here.place.y + next.place.y) / 2 };
      const after = placed[at + 1] === undefined ? point.row - 1 : point.row;
      once((d) => addPoint(d, point.target, middle, after).draft, 'insert point', 'insert');
      select(pointId(point.target, after + 1));
    },
    onAccept: () => {
      const { proposal } = now();
      if (proposal === null) return false;
      once((d) => acceptProposal(d, proposal), 'accept followed line', 'accept');
      to.propose(null);
      report('Accepted.');
      return true;
    },
    onDismiss: () => {
      if (now().proposal !== null) to.propose(null);
      else select(null);
      to.setFollowing(false);
      report(null);
    },
  } satisfies StageEvents;
}
