import { useCallback, useMemo, useRef, useState } from 'react';
import type { MapDraft, PicturePlace } from '../../../build/index.ts';
import type { Desk, DeskActions } from '../useDesk.ts';
import type { MapEdit } from '../useMapEdit.ts';
import { placeReading } from './model/placeReading.ts';
import { acceptProposal, type Proposal } from './model/proposal.ts';
import { sameTarget, type Target, targetName, targetOfPlace, targetRows } from './model/targets.ts';
import { pointId, pointOfId } from './model/traceLines.ts';
import { addPoint, deletePoint, movePoint, placedRows } from './model/tracePoints.ts';
import type { PixelReader } from './picture/pixelReader.ts';
import type { StageEvents } from './stage/stageTypes.ts';

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

/** Points that are worth proposing along one line: the surface needs no more, and a person can still look at each. */
const MOST_PROPOSED = 14;

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
  // Handlers read what is newest when they run: snapping answers later than the click.
  const newest = useRef({ draft, target, pixels, isSnapping, efficiency, proposal, selected });
  newest.current = { draft, target, pixels, isSnapping, efficiency, proposal, selected };
  /** Clicks are worked off in their order, however long one takes to snap. */
  const queue = useRef(Promise.resolve());
  const snapped = useCallback(async (place: PicturePlace, radiusPx: number): Promise<PicturePlace> => {
    const { pixels: reader, isSnapping: on } = newest.current;
    if (!on || reader === null) return place;
    return (await reader.snap(place, radiusPx))?.place ?? place;
  }, []);
  const accept = useCallback((): boolean => {
    const { proposal: offered } = newest.current;
    if (offered === null) return false;
    edit((d) => acceptProposal(d, offered), 'accept followed line', `accept.${Date.now()}`);
    setProposal(null);
    say('Accepted.');
    return true;
  }, [edit]);
  const events = useMemo<StageEvents>(() => {
    const place = (at: PicturePlace, radiusPx: number) => {
      queue.current = queue.current.then(async () => {
        const to = await snapped(at, radiusPx);
        const now = newest.current;
        if (now.target === null) return say('Choose first what is traced: a speed line, the surge line, an island.');
        const aim = now.target;
        let row: number | null = null;
        if (aim.kind === 'readings') {
          edit((d) => placeReading(d, to, radiusPx, now.efficiency), 'read efficiency', `reading.${Date.now()}`);
          return say(now.efficiency === '' ? 'Enter its efficiency in the table.' : null);
        }
        edit(
          (d) => {
            const added = addPoint(d, aim, to);
            row = added.row;
            return added.draft;
          },
          'trace point',
          `trace.${Date.now()}`,
        );
        if (row !== null) select(pointId(aim, row));
        say(row === null ? 'Nothing is read there: the place lies outside the axes.' : null);
      });
    };
    const follow = (at: PicturePlace, radiusPx: number) => {
      queue.current = queue.current.then(async () => {
        setFollowing(false);
        const { pixels: reader, target: aim } = newest.current;
        if (reader === null || aim === null) return;
        const options = { radiusPx: Math.max(4, radiusPx), thinPx: 0.35, mostPoints: MOST_PROPOSED };
        const found = await reader.follow(at, options);
        if (!found.ok) return say(found.message);
        setProposal({ target: aim, places: found.points });
        say(`${found.points.length} points are proposed. Enter takes them, Escape leaves them.`);
      });
    };
    return {
      onPlace: place,
      onFollow: follow,
      onSelect: (id) => {
        const point = pointOfId(id);
        if (point === null) return;
        if (!sameTarget(point.target, newest.current.target)) choose(point.target);
        select(id);
      },
      onMove: (id, to, { isLast, radiusPx, by }) => {
        const point = pointOfId(id);
        if (point === null) return;
        edit((d) => movePoint(d, point, to), 'move point', `move.${id}`);
        if (!isLast || by === 'keys' || !newest.current.isSnapping) return;
        queue.current = queue.current.then(async () => {
          const exact = await snapped(to, radiusPx);
          edit((d) => movePoint(d, point, exact), 'move point', `move.${id}`);
        });
      },
      onRemove: (id) => {
        const point = pointOfId(id);
        if (point === null) return;
        edit((d) => deletePoint(d, point), 'delete point', `delete.${Date.now()}`);
        const left = targetRows(newest.current.draft, point.target).length - 1;
        select(left < 1 ? null : pointId(point.target, Math.min(point.row, left - 1)));
      },
      onStep: (by) => {
        const { draft: d, target: aim, selected: from } = newest.current;
        if (aim === null) return;
        const rows = placedRows(d, aim).map(({ row }) => row);
        if (rows.length === 0) return;
        const at = rows.indexOf(from === null ? -1 : (pointOfId(from)?.row ?? -1));
        select(pointId(aim, rows[at < 0 ? 0 : (at + by + rows.length) % rows.length]!));
      },
      onInsert: () => {
        const { draft: d, selected: from } = newest.current;
        const point = from === null ? null : pointOfId(from);
        if (point === null) return;
        const placed = placedRows(d, point.target);
        const at = placed.findIndex(({ row }) => row === point.row);
        const here = placed[at];
        const next = placed[at + 1] ?? placed[at - 1];
        if (here === undefined || next === undefined) return;
        const middle = { x: (here.place.x + next.place.x) / 2, y: (here.place.y + next.place.y) / 2 };
        const after = placed[at + 1] === undefined ? point.row - 1 : point.row;
        edit((old) => addPoint(old, point.target, middle, after).draft, 'insert point', `insert.${Date.now()}`);
        select(pointId(point.target, after + 1));
      },
      onAccept: accept,
      onDismiss: () => {
        if (newest.current.proposal !== null) setProposal(null);
        else select(null);
        setFollowing(false);
        say(null);
      },
    };
  }, [edit, snapped, choose, accept]);
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
    dismiss: useCallback(() => {
      setProposal(null);
      say(null);
    }, []),
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

/** The place of a finding or a row as the point that it is. */
export function pointOfPlace(place: Parameters<typeof targetOfPlace>[0]): string | null {
  const at = targetOfPlace(place);
  return at === null || at.row === undefined ? null : pointId(at.target, at.row);
}
