import { type ComponentType, lazy } from 'react';

/*
 * Parts of the view that nobody sees at the start: they stay out of the first script, and are fetched when the page has nothing else to
 * do, so that a network that is gone later takes nothing away.
 */

const parts = {
  compare: async () => (await import('./compare/index.ts')).ComparePanels as ComponentType<object>,
  card: async () => (await import('./candidate/index.ts')).CardDialog as ComponentType<object>,
  counter: async () => (await import('./counter/index.ts')).CounterMode as ComponentType<object>,
};

type PartName = keyof typeof parts;

const coming = new Map<PartName, Promise<ComponentType<object>>>();

/** A part; asked for again when an earlier fetch failed. */
function part(name: PartName): Promise<ComponentType<object>> {
  const known = coming.get(name);
  if (known !== undefined) return known;
  const fetched = parts[name]();
  coming.set(name, fetched);
  fetched.catch(() => coming.delete(name));
  return fetched;
}

/** The part as a component that waits for it; without a network it says so instead of taking the page down. */
function late(name: PartName) {
  return lazy(async () => {
    try {
      return { default: await part(name) };
    } catch {
      return { default: Missing };
    }
  });
}

function Missing() {
  return (
    <p role="alert">
      This part could not be fetched: the network is gone. Everything entered is kept. Reload the page when it is back.
    </p>
  );
}

export const ComparePanels = late('compare');
export const CardDialog = late('card');
export const CounterMode = late('counter');

/** Fetches the parts when the page has nothing else to do. Gives back how to call it off. */
export function fetchMatchParts(): () => void {
  const fetchAll = () => {
    for (const name of Object.keys(parts) as PartName[]) part(name).catch(() => undefined);
  };
  const timer = setTimeout(fetchAll, 300);
  return () => clearTimeout(timer);
}
