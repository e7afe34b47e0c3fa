/*
 * The service worker: keeps the page's own parts, so that the program opens without a server. It is no module of the program: the build
 * writes it beside index.html with the list of the parts and their version in place of PARTS (vite.config.ts), so that another build is
 * another worker. It answers from what it keeps and never asks a server for what it has; an update waits until the page asks for it.
 */
const { version, files } = PARTS;
const NAME = `lugline-${version}`;

self.addEventListener('install', (event) => {
  event.waitUntil(
    caches.open(NAME).then((cache) => cache.addAll(files.map((file) => new Request(file, { cache: 'no-cache' })))),
  );
});

self.addEventListener('activate', (event) => {
  const clear = async () => {
    const old = (await caches.keys()).filter((name) => name.startsWith('lugline-') && name !== NAME);
    await Promise.all(old.map((name) => caches.delete(name)));
  };
  event.waitUntil(clear());
});

self.addEventListener('message', (event) => {
  if (event.data === 'take over') self.skipWaiting();
});

self.addEventListener('fetch', (event) => {
  const { request } = event;
  if (request.method !== 'GET' || new URL(request.url).origin !== self.location.origin) return;
  event.respondWith(answer(request));
});

async function answer(request) {
  const cache = await caches.open(NAME);
  // A host may say that its answers vary by the asking origin; these are all for this one, however they were asked for.
  const kept = await cache.match(request.mode === 'navigate' ? './' : request, { ignoreVary: true });
  if (kept !== undefined) return kept;
  const fresh = await fetch(request);
  // What a PDF needs is large and asked for by name: kept from the first time on.
  if (fresh.ok && new URL(request.url).pathname.includes('/pdf/')) await cache.put(request, fresh.clone());
  return fresh;
}
