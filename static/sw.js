// Between the pages and the network: what the phone took along is there without network.
// @ts-check

const worker = /** @type {any} */ (self);
/** Our files, written above by the server. @type {{files: string[], version: string}} */
const { files, version } = worker.ours;
/** How long the network may take before the page that is here is shown instead. */
const PATIENCE_MS = 2_500;

worker.addEventListener('install', (/** @type {any} */ event) => {
  event.waitUntil(caches.open(version).then((it) => it.addAll(files)).then(() => worker.skipWaiting()));
});

/** Throws away the files of before, but for those that a page which is still here asks for. */
const tidy = async () => {
  const pages = await (await caches.open('pages')).matchAll();
  const texts = (await Promise.all(pages.map((it) => it.text()))).join();
  for (const name of await caches.keys()) {
    if (![version, 'pages'].includes(name) && !texts.includes(`/static/${name}/`)) await caches.delete(name);
  }
};

worker.addEventListener('activate', (/** @type {any} */ event) => {
  event.waitUntil(tidy().then(() => worker.clients.claim()));
});

/** A page: from the network if it answers in time, else as it was taken along.
 * @param {any} event @param {string} path */
const page = async (event, path) => {
  const here = await caches.match(path === '/' ? '/today' : path, { cacheName: 'pages' });
  const away = fetch(event.request).then(async (response) => {
    // The office is there but not well: what is here serves better.
    if (response.status >= 500 && here) return here;
    if (response.ok && here) await (await caches.open('pages')).put(path, response.clone());
    return response;
  });
  event.waitUntil(away.catch(() => undefined));
  const late = new Promise((done) => setTimeout(done, PATIENCE_MS, here));
  return (here ? Promise.race([away, late]) : away).catch(() => here ?? caches.match('/offline'));
};

worker.addEventListener('fetch', (/** @type {any} */ event) => {
  const { method, mode, url } = event.request;
  const { origin, pathname } = new URL(url);
  if (origin !== location.origin) return;
  if (method === 'POST' && ['/sign-out', '/sign-in'].includes(pathname)) {
    // Whoever holds the phone next sees nothing of the last one's day.
    event.waitUntil(caches.delete('pages'));
  } else if (method === 'GET' && pathname.startsWith('/static/')) {
    event.respondWith(caches.match(event.request).then((it) => it ?? fetch(event.request)));
  } else if (method === 'GET' && mode === 'navigate') {
    event.respondWith(page(event, pathname));
  }
});
