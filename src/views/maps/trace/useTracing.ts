import { useCallback, useMemo, useRef, useState } from 'react';
import type { MapDraft } from '../../../build/index.ts';
import type { Desk, DeskActions } from '../useDesk.ts';
import type { MapEdit } from '../useMapEdit.ts';
import { acceptProposal, type Proposal } from './model/proposal.ts';
import { type Target, targetName, targetOfPlace } from './model/targets.ts';
import { pointId } from './model/traceLines.ts';
import type { PixelReader } from './picture/pixelReader.ts';
import type { StageEvents } from './stage/stageTypes.ts';
import { type TraceState, traceEvents } from './traceEvents.ts';

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

/** The place of a finding or a row as the point that it is. */
export function pointOfPlace(place: Parameters<typeof targetOfPlace>[0]): string | null {
  const at = targetOfPlace(place);
  return at === null || at.row === undefined ? null : pointId(at.target, at.row);
}
