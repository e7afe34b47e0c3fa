import { type ComponentType, createElement, lazy } from 'react';
import { markWhenThere } from '../widgets/index.ts';
import { PartMissing } from './PartMissing.tsx';

/*
 * Parts that are fetched after the first view stands: they stay out of the first script, and are there before anybody asks for them, so
 * that a network that is gone later takes nothing away.
 */

let tracing: Promise<boolean> = Promise.resolve(false);

const parts = {
  altitude: async () => (await import('../views/altitude/index.ts')).AltitudeView,
  maps: async () => {
    const { MapsView: view, fetchTracing } = await import('../views/maps/index.ts');
    tracing = fetchTracing();
    return view;
  },
  sheet: async () => (await import('../views/sheet/index.ts')).SheetView,
};

const coming = new Map<keyof typeof parts, Promise<ComponentType>>();

/** A view's part; asked for again when an earlier fetch failed. */
function part(name: keyof typeof parts): Promise<ComponentType> {
  const known = coming.get(name);
  if (known !== undefined) return known;
  const fetched = parts[name]();
  coming.set(name, fetched);
  fetched.catch(() => coming.delete(name));
  return fetched;
}

/** The view as a component that waits for its part; without a network it says so instead of taking the page down. */
function late(name: keyof typeof parts) {
  return lazy(async () => {
    try {
      return { default: await part(name) };
    } catch {
      return { default: () => createElement(PartMissing) };
    }
  });
}

export const AltitudeView = late('altitude');
export const MapsView = late('maps');
export const SheetView = late('sheet');

/** Fetches the late parts, and whatever `others` fetches, when the page has nothing else to do. */
export function fetchLateParts(others: () => void): void {
  const fetchAll = () => {
    others();
    const views = (Object.keys(parts) as (keyof typeof parts)[]).map((name) =>
      part(name).then(
        () => (name === 'maps' ? tracing : true),
        () => false,
      ),
    );
    void markWhenThere('views', Promise.all(views));
  };
  if ('requestIdleCallback' in globalThis) requestIdleCallback(fetchAll, { timeout: 2000 });
  else setTimeout(fetchAll, 200);
}
