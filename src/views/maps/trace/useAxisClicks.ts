import { useCallback, useMemo, useRef, useState } from 'react';
import type { MapDraft } from '../../../build/index.ts';
import type { MapEdit } from '../useMapEdit.ts';
import { addAxisPoint, placeAxisPoint, setAxisPoints } from './model/setPicture.ts';
import { tracingOf } from './model/tracePoints.ts';
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
  const newest = useRef({ points, active, firstOpen });
  newest.current = { points, active, firstOpen };
  const events = useMemo<StageEvents>(
    () => ({
      onPlace: (place) => {
        const { points: now, active: chosen, firstOpen: open } = newest.current;
        // A chosen point that stands already is moved by dragging; a click goes on with the next that is not placed.
        const isOpen = now[chosen]?.x === '' || now[chosen]?.y === '';
        const row = isOpen ? chosen : open >= 0 ? open : now.length;
        edit(
          (d) => placeAxisPoint(row === now.length ? addAxisPoint(d) : d, row, place),
          'place axis point',
          `axes.place.${Date.now()}`,
        );
        setActive(row);
        setGoTo({ row, key: now[row]?.on === 'ratio-axis' ? 'pressureRatio' : 'flow' });
      },
      onSelect: (id) => setActive(id === null ? null : Number(id)),
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
    }),
    [edit],
  );
  const arrived = useCallback(() => setGoTo(null), []);
  return { active, setActive, goTo, arrived, events };
}
