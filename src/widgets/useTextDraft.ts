import { type RefObject, useEffect, useRef, useState } from 'react';
import type { TypedQuantity } from './useQuantityField.ts';

interface DraftProps {
  value: TypedQuantity;
  draft?: string | null | undefined;
  onDraft?: ((text: string | null) => void) | undefined;
}

function isSame(a: TypedQuantity, b: TypedQuantity): boolean {
  return a.text === b.text && a.unit === b.unit;
}

/**
 * The text that could not be read, kept by the caller (`draft`) or here. It goes when the value changes from elsewhere under it (undo,
 * another map), but not when caller and field turn to another build with a draft of its own.
 * @param sentLast The value that the field itself sent last: a change to that one is not from elsewhere.
 */
export function useTextDraft(
  { value, draft, onDraft }: DraftProps,
  sentLast: RefObject<TypedQuantity>,
): [string | null, (text: string | null) => void] {
  const [own, setOwn] = useState<string | null>(null);
  const isKeptByCaller = draft !== undefined;
  const current = isKeptByCaller ? draft : own;
  const before = useRef({ value, current });
  useEffect(() => {
    const old = before.current;
    before.current = { value, current };
    const fromElsewhere = !isSame(old.value, value) && !isSame(sentLast.current, value);
    if (!fromElsewhere || current === null || current !== old.current) return;
    setOwn(null);
    onDraft?.(null);
  });
  const keep = (text: string | null) => {
    if (!isKeptByCaller) setOwn(text);
    if (text !== current) onDraft?.(text);
  };
  return [current, keep];
}
