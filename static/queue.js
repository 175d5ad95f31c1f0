// What a phone keeps until the office has it: each change goes into the phone's own store at once,
// and from there to the server, in order, again and again until it is taken.
// @ts-check

import { openDB } from './idb.js';

/** A change of a field, a photo of one or a signature, or that a sheet is to be handed in.
 * @typedef {{kind: 'entry' | 'photo' | 'hand_in', visit: string, name: string, text?: string,
 *   base?: number, blob?: Blob}} NewItem */
/** The same as it is kept: whose it is, and what became of it.
 * @typedef {NewItem & {id: string, person: string, number: number, at_ms: number,
 *   state: 'waiting' | 'sent' | 'stuck', place: number, sentence: string}} Item */
/** An answer, or why it is refused, or neither: nothing goes. @typedef {{answer?: any, refused?: string}} Came */

const BATCH_MAX = 50;
/** How long a request may take, for a photo on a poor network takes its time; and until the next try. */
const REQUEST_MS_MAX = 60_000;
const AGAIN_MS = 5_000;
const UNREACHABLE = 'can’t reach the office';
const SIGNED_OUT = 'sign in again to send';

/** An id that sorts by its time (UUID, version 7). */
const newId = () => {
  const time = Date.now().toString(16).padStart(12, '0');
  const lots = Array.from(crypto.getRandomValues(new Uint16Array(5)), (it) => it.toString(16).padStart(4, '0'));
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
  const line = document.getElementById('saved');
  if (line) line.textContent = words.filter(Boolean).join(', ') || 'all saved';
  document.documentElement.classList.toggle('waiting', words.length > 0);
};

/** Keeps things for good before anything else happens; only then are they shown as kept. What was
 * being typed is no longer only that. @param {NewItem[]} items */
export const keep = async (items) => {
  const writing = store.transaction(['item', 'word'], 'readwrite', { durability: 'strict' });
  const words = writing.objectStore('word');
  let number = (await words.get('number')) ?? 0;
  const puts = items.map((it) => {
    const about = { id: newId(), person, number: ++number, at_ms: Date.now() };
    return writing.objectStore('item').put({ ...it, ...about, state: 'waiting', place: 0, sentence: '' });
  });
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
/** Forgets what has arrived: of one visit up to a place, or of all.
 * @param {string} [visit] @param {number} [place] */
export const forgetSent = (visit, place = Infinity) =>
  rewrite((it) => (it.state === 'sent' && it.place <= place && [undefined, it.visit].includes(visit) ? null : it));
// What was refused tries once more, for a page is opened anew.
await rewrite((it) => (it.state === 'stuck' ? { ...it, state: 'waiting' } : it));

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
  const plain = (/** @type {Item} */ { id, number, base, at_ms, name, text }) => ({ id, number, base, at_ms, name, text });
  const all = { device, author: person, sent_ms: Date.now(), base, entries: entries.map(plain), drafts };
  return post(`/visits/${visit}/entries`, new Blob([JSON.stringify(all)], { type: 'application/json' }));
};

/** Sends one thing, or several entries of one visit. @param {Item[]} batch */
const sendBatch = (batch) => {
  const [{ kind, visit, id, name, at_ms, blob = new Blob() }] = batch;
  if (kind === 'entry') return ask(visit, batch, 0, {});
  const who = { id, author: person };
  if (kind === 'hand_in') return post(`/visits/${visit}/hand-in`, new URLSearchParams(who));
  const about = new URLSearchParams({ field: name, taken: new Date(at_ms).toISOString(), ...who });
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
/** What must not be sent past something that didn't go. @param {Item} it */
const lane = (it) => (it.kind === 'photo' ? it.id : it.visit);
let timer = 0;

/** Sends what waits of this person until nothing does or nothing goes, and counts what is left. Two
 * windows of one phone may send the same: it counts once. @param {boolean} isPhotos */
const send = async (isPhotos) => {
  const passed = new Set();
  for (let most = BATCH_MAX; ; ) {
    await tell();
    const mine = (await all()).filter((it) => it.person === person && (it.kind === 'photo') === isPhotos);
    const waiting = mine.filter((it) => it.state === 'waiting').sort((a, b) => turn(a) - turn(b));
    const open = waiting.filter((it) => !passed.has(lane(it)));
    if (!open.length) {
      clearTimeout(timer);
      if (waiting.length && trouble !== SIGNED_OUT) timer = setTimeout(flush, AGAIN_MS);
      return waiting.length;
    }
    const alike = open.filter((it) => it.visit === open[0].visit && turn(it) === turn(open[0]));
    const batch = alike.slice(0, open[0].kind === 'entry' ? most : 1);
    const came = await sendBatch(batch);
    if (!came.answer && !came.refused) passed.add(lane(open[0]));
    // One of them is refused: the others must not wait behind it.
    else if (came.refused && batch.length > 1) most = 1;
    else {
      await note(batch, came);
      dispatchEvent(new Event('sent'));
    }
  }
};

/** What was typed, and photos: each time after the last, but not one after the other. */
let [sheets, photos] = [Promise.resolve(0), Promise.resolve(0)];
/** Sends what waits. @returns how much of what was typed is left */
export const flush = () => {
  photos = photos.then(() => send(true));
  sheets = sheets.then(() => send(false));
  return sheets;
};
