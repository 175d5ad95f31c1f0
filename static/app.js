// On every page of somebody who is signed in, and where one signs in: what waits on the phone goes on
// its way, the day is taken along, and the check sheet comes to life.
// @ts-check

const { person = '' } = document.body.dataset;

// Without a store of its own a phone keeps nothing, and the plain forms save.
addEventListener('unhandledrejection', () => {
  document.documentElement.classList.remove('scripted');
  const line = document.querySelector('body:has(#sheet) #saved');
  if (line) line.textContent = 'this phone keeps nothing by itself: press Save in each block';
});

/** Takes the pages of the day along: those that Today names, and no others. */
const takeAlong = async () => {
  if (!document.querySelector('[data-day]')) return;
  const links = /** @type {NodeListOf<HTMLAnchorElement>} */ (document.querySelectorAll('a[data-along]'));
  const wanted = new Set([location.pathname, ...Array.from(links, (it) => it.pathname)]);
  const pages = await caches.open('pages');
  for (const { url } of await pages.keys()) if (!wanted.has(new URL(url).pathname)) await pages.delete(url);
  let isAll = true;
  for (const path of wanted) {
    const page = await fetch(path).catch(() => null);
    if (page?.ok && !page.redirected) await pages.put(path, page);
    else isAll = false;
  }
  document.documentElement.classList.toggle('along', isAll);
};

/** Lets the worker serve what is here. */
const workOffline = async () => {
  navigator.serviceWorker.addEventListener('controllerchange', () => void takeAlong().catch(() => undefined));
  await navigator.serviceWorker.register('/sw.js');
  // A page without its files is of no use: the worker that has this page's comes in its own time.
  if (await caches.match(import.meta.url)) await takeAlong();
};

const begin = async () => {
  const { flush, forgetSent } = await import('./queue.js');
  if (!person) {
    // What somebody left on this phone is nobody's to read; what waits stays with its author.
    await globalThis.caches?.delete('pages');
    return forgetSent(() => true);
  }
  if (document.getElementById('sheet')) await import('./sheet.js');
  // Browsers have no worker where the address isn't https; what is typed is kept all the same.
  if ('serviceWorker' in navigator) void workOffline().catch(() => undefined);
  for (const event of ['online', 'visibilitychange']) addEventListener(event, () => void flush());
  await flush();
};
void begin();
