import { type ComponentType, lazy, useState } from 'react';

/** A part of the page that is fetched when it is needed, or before. */
export interface LatePart<P extends object> {
  /** Needs a Suspense boundary above it. */
  Part: ComponentType<P>;
  /** Fetches it ahead of need, and says whether it came; a fetch that fails is tried again when the part is needed. */
  fetch: () => Promise<boolean>;
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
  const fetch = () =>
    take().then(
      () => true,
      () => false,
    );
  return { Part, fetch };
}

/** Fetches parts when the page has nothing else to do. Gives back how to call it off. */
export function fetchAhead(group: string, parts: readonly Pick<LatePart<object>, 'fetch'>[]): () => void {
  const timer = setTimeout(() => void markWhenThere(group, Promise.all(parts.map((part) => part.fetch()))), 300);
  return () => clearTimeout(timer);
}

/** Names a group of parts in the root's `data-parts` once all of them came: whoever drives the page knows then that it needs no network. */
export async function markWhenThere(group: string, coming: Promise<readonly boolean[]>): Promise<void> {
  if ((await coming).includes(false)) return;
  const { dataset } = document.documentElement;
  dataset.parts = [...new Set([...(dataset.parts?.split(' ') ?? []), group])].join(' ');
}
