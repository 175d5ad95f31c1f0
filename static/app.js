// On every page of somebody who is signed in: the line that says whether all is saved, the day on
// the phone, and what was waiting goes on its way.
// @ts-check

import { flush, forgetSent, heard, remember, standing, tryAgain, word } from './queue.js';

const { person = '' } = document.body.dataset;
const line = document.getElementById('saved');

/** Says how it stands. @param {Awaited<ReturnType<typeof standing>>} how */
const say = ({ waiting, stuck, trouble }) => {
  const count = waiting ? `${waiting} waiting` : '';
  const why = { '': '', unreachable: 'can’t reach the office', 'signed-out': 'sign in again to send' }[trouble] ?? '';
  const words = [why, count, stuck.length ? `${stuck.length} not taken: ${stuck[0].sentence}` : ''];
  if (line) line.textContent = words.filter(Boolean).join(', ') || 'all saved';
  document.documentElement.classList.toggle('waiting', waiting + stuck.length > 0);
};
heard.addEventListener('standing', (event) => say(/** @type {CustomEvent} */ (event).detail));

/** Takes the pages of the day along: those that Today names, and no others. */
const takeAlong = async () => {
  const links = /** @type {NodeListOf<HTMLAnchorElement>} */ (document.querySelectorAll('a[data-along]'));
  if (!links.length && !document.querySelector('[data-day]')) return;
  const pages = await caches.open('pages');
  const wanted = new Set([location.pathname, ...[...links].map((it) => new URL(it.href).pathname)]);
  for (const { url } of await pages.keys()) {
    if (!wanted.has(new URL(url).pathname)) await pages.delete(url);
  }
  for (const path of wanted) {
    const page = await fetch(path).catch(() => null);
    if (page?.ok && !page.redirected) await pages.put(path, page);
  }
  document.documentElement.classList.add('along');
};

const begin = async () => {
  // What somebody else left on this phone is nobody's to read; what waits stays with its author.
  if ((await word('person')) !== person) {
    await caches?.delete('pages');
    await forgetSent();
    await remember('person', person);
  }
  await tryAgain();
  say(await standing());
  if ('serviceWorker' in navigator) {
    await navigator.serviceWorker.register('/sw.js');
    await takeAlong().catch(() => undefined);
  }
  if (!document.getElementById('sheet')) await flush(person);
};
addEventListener('online', () => void flush(person));
if (person) void begin();
else void forgetSent().then(() => caches?.delete('pages'));
