import { type ComponentType, lazy, useState } from 'react';
import { Button } from './Button.tsx';
import styles from './dialog.module.css';

/** How each late part of the program is fetched. */
const fetchers: (() => Promise<unknown>)[] = [];

/**
 * A part that stays out of the first script; needs a Suspense boundary above it. React shows what it had to wait for only after a pause of
 * its own, some 300 ms: a part that has been fetched by then is therefore shown at once, without waiting at all. Without a network `Missing`
 * stands in its place; a fetch that failed is asked for again when the part is next needed, which Chromium grants after a reload only.
 */
export function latePart<P extends object>(
  load: () => Promise<ComponentType<P>>,
  Missing: ComponentType<P> = PartMissing,
): ComponentType<P> {
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
  fetchers.push(take);
  const waiting = () =>
    lazy(() =>
      take().then(
        (part) => ({ default: part }),
        () => ({ default: Missing }),
      ),
    );
  let Waiting = waiting();
  return function Part(props: P) {
    const [Shown] = useState(() => {
      if (loaded !== null) return loaded;
      if (coming === null) Waiting = waiting();
      return Waiting as ComponentType<P>;
    });
    return <Shown {...props} />;
  };
}

/**
 * Fetches every late part, and the `more` that are no components, when the page has nothing else to do, before anybody asks, so that a
 * network that is gone later takes nothing away. When all have come, the page says so, `data-parts="loaded"` on its root: it needs no network from then on.
 */
export function fetchLateParts(more: readonly (() => Promise<unknown>)[]): void {
  fetchers.push(...more);
  const fetchAll = async () => {
    // A part may bring parts of its own: the list grows meanwhile.
    const come: PromiseSettledResult<unknown>[] = [];
    while (come.length < fetchers.length) {
      come.push(...(await Promise.allSettled(fetchers.slice(come.length).map((take) => take()))));
    }
    const isWhole = come.every(({ status }) => status === 'fulfilled');
    if (isWhole) document.documentElement.dataset.parts = 'loaded';
  };
  if ('requestIdleCallback' in globalThis) requestIdleCallback(fetchAll, { timeout: 2000 });
  else setTimeout(fetchAll, 200);
}

/** In place of a part whose script could not be fetched: the rest of the page works on. */
function PartMissing() {
  return (
    <div className={styles.missing} role="alert">
      <p>This part could not be fetched: the network is gone, or the page was replaced by a newer one.</p>
      <p>Everything entered is kept. Reload the page when the network is back.</p>
      <Button onPress={() => location.reload()}>Reload the page</Button>
    </div>
  );
}
