import type { PicturePlace } from '../../../../compressor/reading/index.ts';

/** What a key on the stage asks for. */
export type StageAction =
  | { do: 'step-by'; dx: number; dy: number }
  | {
      do: 'place' | 'follow' | 'remove' | 'insert' | 'next' | 'previous' | 'dismiss' | 'zoom-in' | 'zoom-out' | 'whole';
    };

const ARROWS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

interface Key {
  key: string;
  shiftKey: boolean;
  altKey: boolean;
  ctrlKey: boolean;
  metaKey: boolean;
}

/**
 * Arrows go by one pixel of the picture as it is seen (Shift: ten, Alt: a tenth); Enter places, F follows the line, Delete takes away,
 * Insert puts a point between, Page keys go from point to point. null: not a key of the stage.
 */
export function stageAction(event: Key, turn: number): StageAction | null {
  if (event.ctrlKey || event.metaKey) return null;
  const arrow = ARROWS[event.key];
  if (arrow !== undefined) {
    const by = event.shiftKey ? 10 : event.altKey ? 0.1 : 1;
    const [dx, dy] = [arrow[0] * by, arrow[1] * by];
    return {
      do: 'step-by',
      dx: Math.cos(turn) * dx + Math.sin(turn) * dy,
      dy: Math.cos(turn) * dy - Math.sin(turn) * dx,
    };
  }
  switch (event.key) {
    case 'Enter':
      return { do: 'place' };
    case 'f':
    case 'F':
      return { do: 'follow' };
    case 'Delete':
    case 'Backspace':
      return { do: 'remove' };
    case 'Insert':
    case 'i':
      return { do: 'insert' };
    case 'PageDown':
      return { do: 'next' };
    case 'PageUp':
      return { do: 'previous' };
    case 'Escape':
      return { do: 'dismiss' };
    case '+':
    case '=':
      return { do: 'zoom-in' };
    case '-':
      return { do: 'zoom-out' };
    case '0':
      return { do: 'whole' };
    default:
      return null;
  }
}

export function movedBy({ x, y }: PicturePlace, dx: number, dy: number): PicturePlace {
  return { x: x + dx, y: y + dy };
}
