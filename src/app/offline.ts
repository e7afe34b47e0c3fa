import type { LuglineStore } from '../store/index.ts';

let waiting: ServiceWorker | null = null;

/**
 * Has the browser keep the page's own parts (offline.js), where it can and the page is a built one: then it opens without a server. A newer
 * version is fetched beside the one that runs, and said; it is taken only on request, so that nothing changes under a person's hands.
 */
export async function keepForOffline(store: LuglineStore): Promise<void> {
  const { serviceWorker } = navigator;
  if (!import.meta.env.PROD || serviceWorker === undefined || !globalThis.isSecureContext) return;
  try {
    const registration = await serviceWorker.register('./offline.js');
    const tell = (worker: ServiceWorker | null) => {
      // Without a controller it is the first: there is nothing newer to say.
      if (worker === null || serviceWorker.controller === null || waiting === worker) return;
      waiting = worker;
      const text = 'A newer version of the program is ready. What you have entered stays.';
      store.getState().notify({ tone: 'done', text, details: [], isUpdate: true });
    };
    tell(registration.waiting);
    registration.addEventListener('updatefound', () => {
      const { installing } = registration;
      installing?.addEventListener('statechange', () => installing.state === 'installed' && tell(installing));
    });
  } catch {
    // A page that is not kept still works while it is served.
  }
}

/** Goes on with the newer version: the page is loaded again, and puts down what is unsaved as at every leaving. */
export function takeUpdate(): void {
  if (waiting === null) return;
  navigator.serviceWorker.addEventListener('controllerchange', () => location.reload(), { once: true });
  waiting.postMessage('take over');
}
