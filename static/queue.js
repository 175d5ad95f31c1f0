// What a phone keeps until the office has it: each change goes into the phone's own store at once,
// and from there to the server, in order, again and again until it is taken.
// @ts-check

import { openDB } from './idb.js';

/** A change of a field, a photo, or that a sheet is to be handed in; then as it is kept; and what came
 * back: an answer, or why it is refused, or neither while nothing goes.
 * @typedef {{kind: 'entry' | 'photo' | 'hand_in', visit: string, name: string, text?: string,
 *   base?: number, blob?: Blob}} NewItem
 * @typedef {NewItem & {id: string, person: string, number: number, at_ms: number,
 *   state: 'waiting' | 'sent' | 'stuck', place: number, sentence: string}} Item
 * @typedef {{answer?: any, refused?: string}} Came */

const BATCH_MAX = 50;
/** How long a request may take, for a photo on a poor network takes its time; and until the next try. */
const REQUEST_MS_MAX = 60_000;
const AGAIN_MS = 5_000;
const UNREACHABLE = 'can’t reach the office';
const SIGNED_OUT = 'sign in again to send';

/** An id that sorts by its time (UUID, version 7). */
const newId = () => {
  const time = Date.now().toString(16).padStart(12, '0');
  const lots = [...crypto.getRandomValues(new Uint16Array(5))].map((it) => it.toString(16).padStart(4, '0'));
  const [version, variant] = [`7${lots[0].slice(1)}`, `8${lots[1].slice(1)}`];
  return [time.slice(0, 8), time.slice(8), version, variant, lots.slice(2).join('')].join('-');
};

// Where a browser refuses a store, nothing that imports this runs, and the plain forms save.
const store = await openDB('phone', 1, {
  upgrade(it) {
    it.createObjectStore('item', { keyPath: 'id' });
    it.createObjectStore('word').put(newId(), 'device');
  },
});
const device = await store.get('word', 'device');
const { person = '' } = document.body.dataset;
/** Why nothing goes at the moment. */
let trouble = '';

/** A word that this phone remembers for a person. @param {string} key @returns {Promise<any>} */
export const word = (key) => store.get('word', `${key} ${person}`);
/** @param {string} key @param {unknown} value */
export const remember = (key, value) => store.put('word', value, `${key} ${person}`);

/** All that is kept, in order. @returns {Promise<Item[]>} */
const all = async () => (await store.getAll('item')).sort((a, b) => a.number - b.number);
/** What this phone has typed on a visit, in order. @param {string} visit */
export const entriesOf = async (visit) =>
  (await all()).filter((it) => it.kind === 'entry' && it.visit === visit && it.person === person);

/** Says on top of the page how it stands. */
const tell = async () => {
  const items = await all();
  const waiting = items.filter((it) => it.state === 'waiting').length;
  const stuck = items.filter((it) => it.state === 'stuck');
  const words = waiting ? [trouble, `${waiting} waiting`] : [];
  if (stuck.length) words.push(`${stuck.length} not taken: ${stuck[0].sentence}`);
  document.getElementById('saved')?.replaceChildren(words.filter(Boolean).join(', ') || 'all saved');
  document.documentElement.classList.toggle('waiting', words.length > 0);
};

/** Keeps things for good before anything else happens; only then are they shown as kept. What was
 * being typed is no longer only that. @param {NewItem[]} items */
export const keep = async (items) => {
  const writing = store.transaction(['item', 'word'], 'readwrite', { durability: 'strict' });
  const words = writing.objectStore('word');
  let number = (await words.get('number')) ?? 0;
  const puts = items.map((it) => writing.objectStore('item').put({
    ...it, id: newId(), person, number: ++number, at_ms: Date.now(), state: 'waiting', place: 0, sentence: '',
  }));
  if (items[0].kind === 'entry') puts.push(words.delete(`drafts ${items[0].visit} ${person}`));
  await Promise.all([...puts, words.put(number, 'number'), writing.done]);
  await tell();
};

/** Changes what is kept: each to what a function makes of it, or to nothing.
 * @param {(it: Item) => Item | null} change */
const rewrite = async (change) => {
  const writing = store.transaction(['item'], 'readwrite');
  const items = writing.objectStore('item');
  for (const it of await items.getAll()) {
    const now = change(it);
    if (!now) await items.delete(it.id);
    else if (now !== it) await items.put(now);
  }
  await writing.done;
};
/** Forgets what has arrived and need not be known here any more. @param {(it: Item) => boolean} isOver */
export const forgetSent = (isOver) => rewrite((it) => (it.state === 'sent' && isOver(it) ? null : it));
// What was refused tries once more, for a page is opened anew.
// But nobody hands a sheet in unasked: that it was refused is told until its sheet is opened again.
await rewrite((it) => {
  if (it.state !== 'stuck') return it;
  if (it.kind !== 'hand_in') return { ...it, state: 'waiting' };
  return location.pathname.includes(it.visit) ? null : it;
});

/** @param {string} address @param {Blob | URLSearchParams} body @returns {Promise<Came>} */
export const post = async (address, body) => {
  const signal = AbortSignal.timeout(REQUEST_MS_MAX);
  const headers = { accept: 'application/json' };
  try {
    const response = await fetch(address, { method: 'POST', redirect: 'manual', signal, headers, body });
    const { ok, status, type } = response;
    const answer = await response.json().catch(() => null);
    // Nobody is signed in, or somebody else; or some network put a page of its own in between.
    const isSignedOut = type === 'opaqueredirect' || status === 401;
    const isAway = status === 429 || 500 <= status || (ok && !answer);
    trouble = isSignedOut ? SIGNED_OUT : isAway ? UNREACHABLE : '';
    if (!trouble) return ok ? { answer } : { refused: answer?.error ?? `Refused (${status}).` };
  } catch {
    trouble = UNREACHABLE;
  }
  return {};
};

/** Sends entries of a visit, or with none asks what the engine says of what is being typed.
 * @param {string} visit @param {Item[]} entries @param {number} base the last entry that is known
 * @param {Record<string, string>} drafts */
export const ask = (visit, entries, base, drafts) => {
  const text = JSON.stringify({ device, author: person, sent_ms: Date.now(), base, entries, drafts });
  return post(`/visits/${visit}/entries`, new Blob([text], { type: 'application/json' }));
};

/** Sends one thing, or several entries of one visit. @param {Item[]} batch */
const sendBatch = (batch) => {
  const [{ kind, visit, id, name, at_ms, blob = new Blob() }] = batch;
  if (kind === 'entry') return ask(visit, batch, 0, {});
  const times = { taken: new Date(at_ms).toJSON(), sent: new Date().toJSON() };
  const about = new URLSearchParams({ id, author: person, field: name, ...times });
  if (kind === 'hand_in') return post(`/visits/${visit}/hand-in`, about);
  return post(`/visits/${visit}/photos/${id}?${about}`, blob);
};

/** Notes what became of something that was sent. @param {Item[]} batch @param {Came} came */
const note = (batch, { answer, refused }) => rewrite((it) => {
  if (!batch.some((sent) => sent.id === it.id)) return it;
  if (answer && it.kind !== 'entry') return null;
  const place = answer?.came_in.find((/** @type {Item} */ came) => came.id === it.id)?.number;
  if (place) return { ...it, state: 'sent', place };
  return { ...it, state: 'stuck', sentence: refused ?? 'The office said nothing of it.' };
});

/** Hazards reach the office before all else, and a sheet goes in after its entries. @param {Item} it */
const turn = ({ kind, name }) => (kind !== 'entry' ? 2 : /\.hazard\.|\.ambient_co_ppm$/.test(name) ? 0 : 1);
let timer = 0;

/** Sends what waits of this person until nothing does or nothing goes, and counts what is left. Two
 * windows of one phone may send the same: it counts once. @param {boolean} isPhotos */
const send = async (isPhotos) => {
  /** What didn't go, and must not keep the rest waiting: photos one by one, else whole visits. */
  const passed = new Set();
  for (let most = BATCH_MAX; ; ) {
    await tell();
    const mine = (await all()).filter((it) => it.person === person && (it.kind === 'photo') === isPhotos);
    const waiting = mine.filter((it) => it.state === 'waiting').sort((a, b) => turn(a) - turn(b));
    const open = waiting.filter((it) => !passed.has(isPhotos ? it.id : it.visit));
    if (!open.length) {
      if (!waiting.length || trouble === SIGNED_OUT) return waiting.length;
      clearTimeout(timer);
      timer = setTimeout(flush, AGAIN_MS);
      return waiting.length;
    }
    const alike = open.filter((it) => it.visit === open[0].visit && turn(it) === turn(open[0]));
    const batch = alike.slice(0, open[0].kind === 'entry' ? most : 1);
    const came = await sendBatch(batch);
    if (!came.answer && !came.refused) passed.add(isPhotos ? batch[0].id : batch[0].visit);
    // One of them is refused: the others must not wait behind it.
    else if (came.refused && batch.length > 1) most = 1;
    else {
      await note(batch, came);
      dispatchEvent(new Event('sent'));
    }
  }
};

let [sheets, photos] = [Promise.resolve(0), Promise.resolve(0)];
/** Sends what waits, time after time, photos apart from what was typed. @returns how much of that is left */
export const flush = () => {
  photos = photos.then(() => send(true));
  sheets = sheets.then(() => send(false));
  return sheets;
};
