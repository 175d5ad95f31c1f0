// What a phone keeps until the office has it: each change goes into the phone's own store at once,
// and from there to the server, in order, again and again until it is taken.
// @ts-check

import { openDB } from './idb.js';

/** One change of a field.
 * @typedef {{id: string, visit: string, person: string, number: number, base: number, at_ms: number,
 *   name: string, text: string, state: 'waiting' | 'sent' | 'stuck', place: number, held: boolean,
 *   sentence: string}} Entry */
/** A photo or a signature.
 * @typedef {{id: string, visit: string, person: string, field: string, at_ms: number, blob: Blob,
 *   state: 'waiting' | 'stuck', sentence: string}} Photo */
/** A sheet that is to be handed in.
 * @typedef {{id: string, visit: string, person: string, state: 'waiting' | 'stuck',
 *   sentence: string}} HandIn */
/** What the server answers.
 * @typedef {{entries: number, state: string, came_in: {id: string, number: number, refusal: string,
 *   held: boolean}[], newer: [string, string][], pieces: Record<string, string>}} Answer */

const BATCH_MAX = 50;
/** How long a request may take, and how long to wait before the next try at first and at most. */
const REQUEST_MS_MAX = 30_000;
const AGAIN_MS = 2_000;
const AGAIN_MS_MAX = 60_000;

const database = openDB('fairweather', 1, {
  upgrade(it) {
    for (const name of ['entry', 'photo', 'hand_in']) it.createObjectStore(name, { keyPath: 'id' });
    it.createObjectStore('word');
  },
});

/** Whoever wants to know how it stands: waiting, stuck, and why nothing goes. */
export const heard = new EventTarget();
/** Other windows of this phone. */
const windows = new BroadcastChannel('queue');
windows.addEventListener('message', () => void tell());

/** Why nothing goes at the moment. @type {'' | 'unreachable' | 'signed-out'} */
let trouble = '';

/** An id that sorts by its time (UUID, version 7). */
export const newId = () => {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  new DataView(bytes.buffer).setBigUint64(0, BigInt(Date.now()) << 16n | BigInt(bytes[6] << 8 | bytes[7]));
  bytes[6] = 0x70 | (bytes[6] & 0x0f);
  bytes[8] = 0x80 | (bytes[8] & 0x3f);
  const text = Array.from(bytes, (it) => it.toString(16).padStart(2, '0')).join('');
  return text.replace(/^(.{8})(.{4})(.{4})(.{4})/, '$1-$2-$3-$4-');
};

/** A word that this phone remembers. @param {string} key @returns {Promise<any>} */
export const word = async (key) => (await database).get('word', key);
/** @param {string} key @param {unknown} value */
export const remember = async (key, value) => void (await (await database).put('word', value, key));

/** Keeps a change for good before anything else happens; only then is it shown as kept.
 * @param {{visit: string, person: string, base: number, name: string, text: string}} change */
export const keep = async (change) => {
  const writing = (await database).transaction(['entry', 'word'], 'readwrite', { durability: 'strict' });
  const words = writing.objectStore('word');
  const number = ((await words.get('number')) ?? 0) + 1;
  await words.put(number, 'number');
  await words.delete(`draft ${change.visit} ${change.person} ${change.name}`);
  await writing.objectStore('entry').put({
    ...change, id: newId(), number, at_ms: Date.now(), state: 'waiting', place: 0, held: false, sentence: '',
  });
  await writing.done;
  await tell();
};

/** Keeps a photo, or a sheet to be handed in. @param {'photo' | 'hand_in'} store
 * @param {Omit<Photo, 'id' | 'state' | 'sentence'> | Omit<HandIn, 'id' | 'state' | 'sentence'>} it */
export const keepIn = async (store, it) => {
  await (await database).put(store, { ...it, id: newId(), state: 'waiting', sentence: '' });
  await tell();
};

/** What this phone has typed on a visit, in order. @returns {Promise<Entry[]>}
 * @param {string} visit @param {string} person */
export const entriesOf = async (visit, person) => {
  const all = /** @type {Entry[]} */ (await (await database).getAll('entry'));
  return all.filter((it) => it.visit === visit && it.person === person).sort((a, b) => a.number - b.number);
};

/** Forgets what has arrived: of one visit up to a place, or of all.
 * @param {string} [visit] @param {number} [place] */
export const forgetSent = async (visit, place = Infinity) => {
  const store = await database;
  for (const it of await store.getAll('entry')) {
    if (it.state === 'sent' && (!visit || it.visit === visit) && it.place <= place) await store.delete('entry', it.id);
  }
};

/** Lets what was refused try once more: a page is opened anew. */
export const tryAgain = async () => {
  const store = await database;
  for (const name of ['entry', 'photo', 'hand_in']) {
    for (const it of await store.getAll(name)) {
      if (it.state === 'stuck') await store.put(name, { ...it, state: 'waiting' });
    }
  }
};

/** How it stands. @returns {Promise<{waiting: number, stuck: (Entry | Photo | HandIn)[], trouble: string}>} */
export const standing = async () => {
  const store = await database;
  const kept = (await Promise.all(['entry', 'photo', 'hand_in'].map((it) => store.getAll(it)))).flat();
  const waiting = kept.filter((it) => it.state === 'waiting').length;
  return { waiting, stuck: kept.filter((it) => it.state === 'stuck'), trouble: waiting ? trouble : '' };
};

const tell = async () => {
  const detail = await standing();
  heard.dispatchEvent(new CustomEvent('standing', { detail }));
};

/** Sends something and says what came back: an answer, or why there is none.
 * @param {string} address @param {RequestInit} request
 * @returns {Promise<{answer?: any, refused?: string}>} */
const post = async (address, request) => {
  let response;
  try {
    const signal = AbortSignal.timeout(REQUEST_MS_MAX);
    const headers = { accept: 'application/json', ...request.headers };
    response = await fetch(address, { method: 'POST', redirect: 'manual', signal, ...request, headers });
    if (response.ok) {
      const answer = await response.json();
      trouble = '';
      return { answer };
    }
  } catch {
    trouble = 'unreachable';
    return {};
  }
  // Nobody is signed in, or somebody else: it waits for its author.
  if (response.type === 'opaqueredirect' || [401, 409].includes(response.status)) trouble = 'signed-out';
  else if (response.status >= 500 || response.status === 429) trouble = 'unreachable';
  else {
    const words = await response.json().catch(() => ({}));
    return { refused: words.error ?? `Refused (${response.status}).` };
  }
  return {};
};

/** Sends entries of one visit, or only asks with none. @param {string} visit @param {string} person
 * @param {Entry[]} entries @param {number} base @param {Record<string, string>} drafts */
export const ask = async (visit, person, entries, base, drafts) => {
  let device = await word('device');
  if (!device) await remember('device', (device = newId()));
  const sent = entries.map(({ id, number, base, at_ms, name, text }) => ({ id, number, base, at_ms, name, text }));
  const body = { device, author: person, sent_ms: Date.now(), base, entries: sent, drafts };
  return post(`/visits/${visit}/entries`, {
    body: JSON.stringify(body), headers: { 'content-type': 'application/json' },
  });
};

/** Notes what became of entries. @param {Entry[]} entries @param {{answer?: Answer, refused?: string}} came */
const note = async (entries, { answer, refused }) => {
  const writing = (await database).transaction(['entry'], 'readwrite');
  for (const entry of entries) {
    const came = answer?.came_in.find((it) => it.id === entry.id);
    if (came) Object.assign(entry, { state: 'sent', place: came.number, held: came.held, sentence: came.refusal });
    else if (refused) Object.assign(entry, { state: 'stuck', sentence: refused });
    await writing.objectStore('entry').put(entry);
  }
  await writing.done;
};

/** Whether it must reach the office before all else. @param {Entry} it */
const isUrgent = (it) => /\.hazard\.|\.ambient_co_ppm$/.test(it.name);

/** Sends what waits of one person until nothing does or nothing goes. With `asked`, the answer for
 * that visit goes there. @param {string} person
 * @param {{visit: string, base: () => number, drafts: () => Record<string, string>,
 *   hear: (answer: Answer) => void}} [asked] */
const send = async (person, asked) => {
  const store = await database;
  let batch = BATCH_MAX;
  for (;;) {
    const mine = /** @type {Entry[]} */ (await store.getAll('entry'))
      .filter((it) => it.state === 'waiting' && it.person === person)
      .sort((a, b) => Number(isUrgent(b)) - Number(isUrgent(a)) || a.number - b.number);
    if (!mine.length) break;
    const { visit } = mine[0];
    const entries = mine.filter((it) => it.visit === visit && isUrgent(it) === isUrgent(mine[0])).slice(0, batch);
    const isHere = asked?.visit === visit;
    const base = isHere ? asked.base() : entries[entries.length - 1].base;
    const came = await ask(visit, person, entries, base, isHere ? asked.drafts() : {});
    if (came.refused && entries.length > 1) {
      // One of them is not taken: the others must not wait behind it.
      batch = 1;
      continue;
    }
    if (!came.answer && !came.refused) return;
    await note(entries, came);
    if (came.answer && isHere) asked.hear(came.answer);
    await tell();
  }
  for (const name of /** @type {const} */ (['photo', 'hand_in'])) {
    for (const it of await store.getAll(name)) {
      if (it.state !== 'waiting' || it.person !== person) continue;
      const about = new URLSearchParams({ field: it.field ?? '', taken: new Date(it.at_ms ?? 0).toISOString(), author: person });
      const came = name === 'photo'
        ? await post(`/visits/${it.visit}/photos/${it.id}?${about}`, { body: it.blob })
        : await post(`/visits/${it.visit}/hand-in`, { body: new URLSearchParams({ id: it.id, author: person }) });
      if (!came.answer && !came.refused) return;
      if (came.answer) await store.delete(name, it.id);
      else await store.put(name, { ...it, state: 'stuck', sentence: came.refused });
      await tell();
    }
  }
};

let again = AGAIN_MS;
let timer = 0;

/** Sends what waits, one window of the phone at a time. @param {string} person
 * @param {Parameters<typeof send>[1]} [asked] */
export const flush = async (person, asked) => {
  clearTimeout(timer);
  // Without locks (a page that did not come by https) two windows may send the same: it counts once.
  await (navigator.locks ? navigator.locks.request('queue', () => send(person, asked)) : send(person, asked));
  windows.postMessage('');
  await tell();
  const { waiting } = await standing();
  if (!waiting || trouble !== 'unreachable') again = AGAIN_MS;
  else {
    timer = setTimeout(() => void flush(person, asked), again);
    again = Math.min(2 * again, AGAIN_MS_MAX);
  }
};
