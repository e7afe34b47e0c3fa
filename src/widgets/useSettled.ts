import { useEffect, useState } from 'react';

/** Long enough to finish a number, short enough to notice a slip. */
const PAUSE_MS = 600;

/**
 * A problem that is worth showing: at once when the person has left the field, after a pause while the text is still being typed
 * ('1', '12' on the way to '1200'), and from then on until it is gone. null when there is none.
 */
export function useSettled(problem: string | null, isTyping: boolean): string | null {
  const [waited, setWaited] = useState(false);
  const exists = problem !== null;
  useEffect(() => {
    if (!exists) {
      setWaited(false);
      return;
    }
    if (!isTyping) {
      setWaited(true);
      return;
    }
    const timer = setTimeout(() => setWaited(true), PAUSE_MS);
    return () => clearTimeout(timer);
  }, [exists, isTyping]);
  return exists && (waited || !isTyping) ? problem : null;
}
