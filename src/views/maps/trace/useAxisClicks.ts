import { useCallback, useMemo, useRef, useState } from 'react';
import { isTurbineSheet, type MapDraft } from '../../../build/index.ts';
import type { PicturePlace } from '../../../compressor/reading/index.ts';
import type { MapEdit } from '../useMapEdit.ts';
import { axisPlace } from './model/axes.ts';
import { addAxisPoint, placeAxisPoint, setAxisPoints } from './model/setPicture.ts';
import { tracingOf } from './model/tracing.ts';
import type { StageEvents } from './stage/stageTypes.ts';

type GoTo = { row: number; key: 'flow' | 'pressureRatio' } | null;

/** Placing axis points: a click places the active one, and the keyboard goes to its value. */
export interface AxisClicks {
  /** Row that the next click places. */
  active: number;
  setActive(row: number | null): void;
  /** Cell that the keyboard is to go to. */
  goTo: GoTo;
  arrived(): void;
  events: StageEvents;
}

export function useAxisClicks(draft: MapDraft, edit: MapEdit): AxisClicks {
  const { points } = tracingOf(draft).axes;
  const [wanted, setActive] = useState<number | null>(null);
  const [goTo, setGoTo] = useState<GoTo>(null);
  const firstOpen = points.findIndex((point) => point.x === '' || point.y === '');
  const active = wanted !== null && points[wanted] !== undefined ? wanted : Math.max(0, firstOpen);
  const isRatioFirst = isTurbineSheet(draft);
  const newest = useRef({ points, active, firstOpen, isRatioFirst });
  newest.current = { points, active, firstOpen, isRatioFirst };
  const events = useMemo<StageEvents>(() => {
    const place = (at: PicturePlace, row: number) => {
      const { points: now } = newest.current;
      const change = (d: MapDraft) => placeAxisPoint(row === now.length ? addAxisPoint(d) : d, row, at);
      edit(change, 'place axis point', `axes.place.${Date.now()}`);
      setActive(row);
      const on = now[row]?.on ?? 'grid';
      // A grid point has both values: the keyboard goes to the column that comes first.
      const isRatio = on === 'ratio-axis' || (on === 'grid' && newest.current.isRatioFirst);
      setGoTo({ row, key: isRatio ? 'pressureRatio' : 'flow' });
    };
    const isOpen = (row: number) => newest.current.points[row]?.x === '' || newest.current.points[row]?.y === '';
    return {
      onPlace: (at) => {
        const { points: now, active: chosen, firstOpen: open } = newest.current;
        // A chosen point that stands already is moved by dragging; a click goes on with the next that is not placed.
        place(at, isOpen(chosen) ? chosen : open >= 0 ? open : now.length);
      },
      onSelect: (id, by) => {
        const { points: now, active: chosen } = newest.current;
        const clicked = now[Number(id)];
        const at = clicked === undefined ? null : axisPlace(clicked);
        // Both axes may begin in the same corner.
        if (by === 'click' && at !== null && isOpen(chosen)) place(at, chosen);
        else setActive(Number(id));
      },
      onMove: (id, place) => edit((d) => placeAxisPoint(d, Number(id), place), 'move axis point', `axes.move.${id}`),
      onRemove: (id) => {
        edit(
          (d) => setAxisPoints(d, tracingOf(d).axes.points.toSpliced(Number(id), 1)),
          'delete axis point',
          `axes.delete.${Date.now()}`,
        );
        setActive(null);
      },
      onStep: (by) => {
        const { points: now, active: chosen } = newest.current;
        if (now.length > 0) setActive((chosen + by + now.length) % now.length);
      },
      onDismiss: () => setActive(null),
    };
  }, [edit]);
  const arrived = useCallback(() => setGoTo(null), []);
  return { active, setActive, goTo, arrived, events };
}
