/*
 * Parts that are fetched after the first view stands: they stay out of the first script, and are there before anybody asks for them, so
 * that a network that is gone later takes nothing away.
 */

let altitude: Promise<typeof import('../views/altitude/index.ts')> | null = null;

/** The Altitude view's part; asked for again when a fetch failed. */
export function loadAltitudeView(): Promise<typeof import('../views/altitude/index.ts')> {
  altitude ??= import('../views/altitude/index.ts').catch((error: unknown) => {
    altitude = null;
    throw error;
  });
  return altitude;
}

/** Fetches the late parts when the page has nothing else to do. */
export function fetchLateParts(): void {
  const fetchAll = () => {
    // A failure shows when the view is chosen, with its reason.
    loadAltitudeView().catch(() => undefined);
  };
  if ('requestIdleCallback' in globalThis) requestIdleCallback(fetchAll, { timeout: 2000 });
  else setTimeout(fetchAll, 200);
}
