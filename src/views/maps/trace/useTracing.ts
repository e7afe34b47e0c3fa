import { useCallback, useMemo, useRef, useState } from 'react';
import { isTurbineSheet, type MapDraft } from '../../../build/index.ts';
import type { PicturePlace } from '../../../reading/index.ts';
import type { Desk, DeskActions } from '../useDesk.ts';
import type { MapEdit } from '../useMapEdit.ts';
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

export interface TracingInput {
  draft: MapDraft;
  edit: MapEdit;
  desk: Desk;
  actions: DeskActions;
  pixels: PixelReader | null;
}

export interface Tracing {
  target: Target | null;
  choose(target: Target): void;
  selected: string | null;
  select(id: string | null): void;
  isSnapping: boolean;
  setSnapping(on: boolean): void;
  /** The next click follows the line. */
  isFollowing: boolean;
  setFollowing(on: boolean): void;
  /** Efficiency that the next single reading gets, as the tables type it. */
  efficiency: string;
  setEfficiency(text: string): void;
  proposal: Proposal | null;
  accept(): boolean;
  dismiss(): void;
  /** What the last act came to, for the line below the picture. */
  said: string | null;
  events: StageEvents;
}

/** Tracing by pointer and keys. Every change of the tables is one step of undo. */
export function useTracing({ draft, edit, desk, actions, pixels }: TracingInput): Tracing {
  const [onReadings, setOnReadings] = useState(false);
  const [selected, select] = useState<string | null>(null);
  const [isSnapping, setSnapping] = useState(true);
  const [isFollowing, setFollowing] = useState(false);
  const [efficiency, setEfficiency] = useState('');
  const [proposal, setProposal] = useState<Proposal | null>(null);
  const [said, say] = useState<string | null>(null);
  const target = useMemo(
    () => (onReadings ? ({ kind: 'readings' } as const) : targetOfDesk(draft, desk)),
    [onReadings, draft, desk],
  );
  const choose = useCallback(
    (next: Target) => {
      setOnReadings(next.kind === 'readings');
      setProposal(null);
      select(null);
      if (next.kind === 'speed-line') actions.set({ tab: 'lines', line: next.line });
      if (next.kind === 'surge-line') actions.set({ tab: 'surge' });
      if (next.kind === 'island') actions.set({ tab: 'islands', island: next.island });
    },
    [actions],
  );
  const newest = useRef<TraceState>(null!);
  newest.current = { draft, target, pixels, isSnapping, efficiency, proposal, selected };
  const accept = useCallback((): boolean => {
    const { proposal: offered } = newest.current;
    if (offered === null) return false;
    edit((d) => acceptProposal(d, offered), 'accept followed line', `accept.${Date.now()}`);
    setProposal(null);
    say('Accepted.');
    return true;
  }, [edit]);
  const events = useMemo(() => {
    const now = () => newest.current;
    return traceEvents({ now, edit, choose, select, propose: setProposal, setFollowing, say, accept });
  }, [edit, choose, accept]);
  const dismiss = useCallback(() => {
    setProposal(null);
    say(null);
  }, []);
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
    accept,
    dismiss,
    said: said ?? (target === null ? null : `Tracing ${targetName(draft, target)}`),
    events,
  };
}

/** The tables and the picture show the same line: the tab and the row that are open say what is traced. */
function targetOfDesk(draft: MapDraft, desk: Desk): Target | null {
  switch (desk.tab) {
    case 'lines':
      return draft.speedLines[desk.line] === undefined ? null : { kind: 'speed-line', line: desk.line };
    case 'surge':
      return { kind: 'surge-line' };
    case 'islands':
      return draft.islands[desk.island] === undefined ? null : { kind: 'island', island: desk.island };
    default:
      return null;
  }
}

/** What tracing goes by just now: handlers read it when they run, because snapping answers later than the click. */
export interface TraceState {
  draft: MapDraft;
  target: Target | null;
  pixels: PixelReader | null;
  isSnapping: boolean;
  efficiency: string;
  proposal: Proposal | null;
  selected: string | null;
}

export interface TraceHands {
  now: () => TraceState;
  edit: MapEdit;
  choose: (target: Target) => void;
  select: (id: string | null) => void;
  propose: (proposal: Proposal | null) => void;
  setFollowing: (on: boolean) => void;
  say: (words: string | null) => void;
  accept: () => boolean;
}

/** Points that are worth proposing along one line: the surface needs no more, and a person can still look at each. */
const MOST_PROPOSED = 14;

/** What pointer and keys on the picture do to the tables. Each act is one step of undo. */
export function traceEvents(hands: TraceHands): StageEvents {
  /** Clicks are worked off in their order, however long one takes to snap. */
  let queue = Promise.resolve();
  const inTurn = (act: () => Promise<void>) => {
    queue = queue.then(act);
  };
  return {
    onPlace: (at, radiusPx) => inTurn(() => place(hands, at, radiusPx)),
    onFollow: (at, radiusPx) => inTurn(() => follow(hands, at, radiusPx)),
    onSelect: (id) => {
      const point = pointOfId(id);
      if (point === null) return;
      if (!sameTarget(point.target, hands.now().target)) hands.choose(point.target);
      hands.select(id);
    },
    onMove: (id, to, { isLast, radiusPx, by }) => {
      const point = pointOfId(id);
      if (point === null) return;
      const move = (place: PicturePlace) => hands.edit((d) => movePoint(d, point, place), 'move point', `move.${id}`);
      move(to);
      if (isLast && by === 'drag' && hands.now().isSnapping)
        inTurn(async () => move(await snapped(hands, to, radiusPx)));
    },
    onRemove: (id) => remove(hands, id),
    onStep: (by) => step(hands, by),
    onInsert: () => insert(hands),
    onAccept: hands.accept,
    onDismiss: () => {
      if (hands.now().proposal !== null) hands.propose(null);
      else hands.select(null);
      hands.setFollowing(false);
      hands.say(null);
    },
  };
}

async function snapped({ now }: TraceHands, place: PicturePlace, radiusPx: number): Promise<PicturePlace> {
  const { pixels, isSnapping } = now();
  if (!isSnapping || pixels === null) return place;
  return (await pixels.snap(place, radiusPx))?.place ?? place;
}

async function place(hands: TraceHands, at: PicturePlace, radiusPx: number): Promise<void> {
  const { edit, say, select } = hands;
  const to = await snapped(hands, at, radiusPx);
  const { target, efficiency } = hands.now();
  if (target === null) {
    const kinds = isTurbineSheet(hands.now().draft) ? 'a line' : 'a speed line, the surge line, an island';
    return say(`Choose first what is traced: ${kinds}.`);
  }
  if (target.kind === 'readings') {
    edit((d) => placeReading(d, to, radiusPx, efficiency), 'read efficiency', `reading.${Date.now()}`);
    return say(efficiency === '' ? 'Enter its efficiency in the table.' : null);
  }
  let row: number | null = null;
  const add = (d: MapDraft): MapDraft => {
    const added = addPoint(d, target, to);
    row = added.row;
    return added.draft;
  };
  edit(add, 'trace point', `trace.${Date.now()}`);
  if (row !== null) select(pointId(target, row));
  say(row === null ? 'Nothing is read there: the axes are not known yet, or the place lies outside them.' : null);
}

async function follow(hands: TraceHands, at: PicturePlace, radiusPx: number): Promise<void> {
  hands.setFollowing(false);
  const { pixels, target } = hands.now();
  if (pixels === null || target === null) return;
  const options = { radiusPx: Math.max(4, radiusPx), thinPx: 0.35, mostPoints: MOST_PROPOSED };
  const found = await pixels.follow(at, options);
  if (!found.ok) return hands.say(found.message);
  hands.propose({ target, places: found.points });
  hands.say(`${found.points.length} points are proposed. Enter takes them, Escape leaves them.`);
}

function remove({ edit, now, select }: TraceHands, id: string): void {
  const point = pointOfId(id);
  if (point === null) return;
  const left = targetRows(now().draft, point.target).length - 1;
  edit((d) => deletePoint(d, point), 'delete point', `delete.${Date.now()}`);
  select(left < 1 ? null : pointId(point.target, Math.min(point.row, left - 1)));
}

function step({ now, select }: TraceHands, by: number): void {
  const { draft, target, selected } = now();
  if (target === null) return;
  const rows = placedRows(draft, target).map(({ row }) => row);
  if (rows.length === 0) return;
  const at = rows.indexOf(selected === null ? -1 : (pointOfId(selected)?.row ?? -1));
  select(pointId(target, rows[at < 0 ? 0 : (at + by + rows.length) % rows.length]!));
}

/** Halfway to the next point; from the last one halfway to the one before. */
function insert({ edit, now, select }: TraceHands): void {
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
  edit((d) => addPoint(d, point.target, middle, after).draft, 'insert point', `insert.${Date.now()}`);
  select(pointId(point.target, after + 1));
}
