import { type ComponentType, lazy, useState } from 'react';

/** A part of the page that is fetched when it is needed, or before. */
export interface LatePart<P extends object> {
  /** Needs a Suspense boundary above it. */
  Part: ComponentType<P>;
  /** Fetches it ahead of need; a fetch that fails is tried again when the part is needed. */
  fetch: () => void;
}

/**
 * A part that stays out of the first script. React shows what it had to wait for only after a pause of its own, some 300 ms: a part that
 * has been fetched by then is therefore shown at once, without waiting at all. Without a network `Missing` stands in its place.
 */
export function latePart<P extends object>(
  load: () => Promise<ComponentType<P>>,
  Missing: ComponentType<P>,
): LatePart<P> {
  let loaded: ComponentType<P> | null = null;
  let coming: Promise<ComponentType<P>> | null = null;
  const take = () => {
    coming ??= load().then(
      (part) => {
        loaded = part;
        return part;
      },
      (error: unknown) => {
        coming = null;
        throw error;
      },
    );
    return coming;
  };
  const waiting = () =>
    lazy(async () => {
      try {
        return { default: await take() };
      } catch {
        return { default: Missing };
      }
    });
  let Waiting = waiting();
  function Part(props: P) {
    const [Shown] = useState(() => {
      if (loaded !== null) return loaded;
      // One that failed before is asked for anew.
      if (coming === null) Waiting = waiting();
      return Waiting as ComponentType<P>;
    });
    return <Shown {...props} />;
  }
  return { Part, fetch: () => void take().catch(() => undefined) };
}
