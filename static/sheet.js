// The check sheet on a phone: keeps each change at once, sends it when it can, and shows the answers:
// the engine's with network, the limits sheet's (provisional) without.
// @ts-check

import { asLeft, cantBe, judge, number } from './limits.js';
import { ask, entriesOf, flush, forgetSent, keep, post, remember, word } from './queue.js';
import { pad, scaled } from './photo.js';

/** How long a hand rests before what it is typing is judged. */
const PAUSE_MS = 100;
/** How long the office may take before the phone goes on by itself, and until it is asked again. */
const PATIENCE_MS = 5_000;

const page = document.documentElement;
const place = (/** @type {string} */ id) => /** @type {HTMLElement} */ (document.getElementById(id));
const sheet = place('sheet');
const { visit = '' } = sheet.dataset;
const limits = JSON.parse(sheet.dataset.limits ?? 'null');
/** The last entry that this page knows of. */
let base = Number(sheet.dataset.entries);

/** What a selector finds on the sheet. @param {string} selector @returns {HTMLInputElement[]} */
const within = (selector) => [...sheet.querySelectorAll(selector)].map((it) => /** @type {any} */ (it));
const controls = (/** @type {string} */ name) => within(`[name="${name}"]`);
/** What the fields hold, by their names. @returns {Map<string, string>} */
const texts = (/** @type {any[]} */ forms = within('form')) => {
  const all = forms.flatMap((it) => [...new FormData(it)]).filter(([name]) => name.startsWith('as_'));
  return new Map(all.map(([name, text]) => [name, String(text).trim()]));
};
/** What they held as they were last kept: at first what the server laid out. @type {Map<string, string>} */
const kept = new Map();
for (const { defaultChecked, defaultValue, name, type } of within('[name^="as_"]')) {
  if (defaultChecked || !['radio', 'checkbox'].includes(type)) kept.set(name, defaultValue.trim());
}
/** What is being typed and not kept yet. */
const drafts = () => {
  const now = texts();
  const names = [...new Set([...now.keys(), ...kept.keys()])];
  const all = names.map((name) => ({ name, text: now.get(name) ?? '', base }));
  return all.filter(({ name, text }) => text !== (kept.get(name) ?? ''));
};

/** @param {string} name @param {string} text */
const put = (name, text) => {
  for (const it of controls(name)) {
    if (['radio', 'checkbox'].includes(it.type)) it.checked = it.value === text;
    else if (it.value.trim() !== text) it.value = text;
  }
};
/** Shows what stands in a field, and when. @param {string} name @param {string} text @param {number} at_ms */
const show = (name, text, at_ms) => {
  const [control] = controls(name);
  if (!control) return;
  put(name, text);
  kept.set(name, text);
  // A slip mended later was not read later.
  control.dataset.at = text && (control.dataset.at || String(at_ms));
  const at = new Date(Number(control.dataset.at));
  const clock = at.toLocaleTimeString([], { hour: 'numeric', minute: '2-digit', hour12: false });
  control.closest('.entry')?.parentElement?.querySelector('time')?.replaceChildren(text && `read ${clock}`);
  if (!text || !name.startsWith('as_left.again.')) return;
  // A block that is read as left once more begins empty; what was read before stays in the record.
  const block = control.closest('.block')?.id;
  for (const it of within(`#${block} .entry [name^="as_left."]`)) show(it.name, '', at_ms);
};
/** Shows what came from elsewhere, but not over what is being typed: name, text, and since when.
 * @param {[string, string, number][]} news @returns whether all of it is shown */
const bring = (news) => {
  const typed = new Set(drafts().map((it) => it.name));
  const free = news.filter(([name]) => !typed.has(name));
  for (const it of free) show(...it);
  return free.length === news.length;
};

/** A copy of a template of the page, with words before its own. @param {string} id */
const copy = (id, words = '') => {
  const piece = document.importNode(/** @type {HTMLTemplateElement} */ (place(id)).content, true);
  piece.querySelector('p')?.prepend(words);
  return piece;
};
/** Stops the work at once by what is ticked, and by more hazards. @param {string[]} more */
const stop = (more = []) => {
  const keys = [...new Set([...within('[data-stops]:checked').map((it) => it.dataset.stops), ...more])];
  const hazards = place('hazards');
  if (hazards.dataset.came === keys.join()) return;
  hazards.dataset.came = keys.join();
  hazards.replaceChildren(...keys.map((it) => copy(`hazard-${it}`)));
  if (keys.length) hazards.scrollIntoView();
};

/** What one stage holds, as the limits sheet takes it. @param {string} stage */
const taken = (stage) => {
  /** @type {import('./limits.js').Taken} */
  const all = { readings: {}, ticks: [], minutes: {} };
  for (const [name, text] of texts()) {
    if (!text || !name.startsWith(`${stage}.`)) continue;
    const key = name.slice(stage.length + 1);
    const { at, behind = '' } = controls(name)[0].dataset;
    const value = number(text);
    if (key.includes('.')) all.ticks.push(key, ...behind.split(' ').map((it) => `after_repair.${it}`));
    else if (value !== null) all.readings[key] = value;
    if (at) all.minutes[key] = Number(at) / 60_000;
  }
  return all;
};
/** What the limits sheet says of both stages, each under the last of its readings. */
const provisional = () => {
  if (!limits) return;
  for (const it of within('[id^="answer-"]')) {
    it.replaceChildren();
    delete it.dataset.came;
  }
  const found = taken('as_found');
  const stages = { as_found: found, as_left: asLeft(found, taken('as_left')) };
  const hazards = [];
  for (const [stage, { readings, ticks, minutes }] of Object.entries(stages)) {
    const under = (/** @type {string} */ field) => place(`answer-${stage}.${field}`);
    const faults = Object.entries(cantBe(limits, readings).words);
    for (const [field, words] of faults) under(field)?.append(copy('said-fault', words));
    for (const { field, outcome, label, words, hazard } of judge(limits, readings, ticks, minutes)) {
      under(field)?.append(copy(`said-${outcome}`, `${label}: ${words}`));
      if (hazard) hazards.push(hazard);
    }
  }
  stop(hazards);
};

/** Changes the page while the field under the hand stays where it is, unless the work must stop.
 * @param {() => void} change */
const still = (change) => {
  const [focus, hazards] = [document.activeElement, place('hazards')];
  const [before, stops] = [focus?.getBoundingClientRect().top ?? 0, hazards.dataset.came];
  change();
  const moved = (focus?.getBoundingClientRect().top ?? 0) - before;
  if (sheet.contains(focus) && stops === hazards.dataset.came) scrollBy(0, moved);
};

/** Shows an answer of the engine. @param {any} answer */
const hear = ({ entries, newer, pieces }) => {
  // Whoever types over what others entered doesn't know of that yet.
  if (bring(newer)) base = entries;
  for (const it of controls('entries')) it.value = entries;
  const focus = document.activeElement;
  for (const [id, markup] of Object.entries(pieces)) {
    const here = place(id);
    // The browser writes markup its own way: what came last is what is compared. Where the focus is
    // within, it would jump; the next answer is soon enough.
    if (!here || here.dataset.came === markup || (here !== focus && here.contains(focus))) continue;
    here.innerHTML = here.dataset.came = markup;
    if (id === 'hazards' && here.childElementCount) here.scrollIntoView();
  }
};
let [newest, pause] = [0, 0];
/** Judges everything as it is typed: by the engine, or by the limits sheet if it can't be reached. */
const judged = async () => {
  const mine = ++newest;
  const late = setTimeout(still, PATIENCE_MS, provisional);
  const waiting = (await entriesOf(visit)).filter((it) => it.state === 'waiting');
  const typed = Object.fromEntries([...waiting, ...drafts()].map((it) => [it.name, it.text ?? '']));
  const { answer, refused } = navigator.onLine ? await ask(visit, [], base, typed) : {};
  clearTimeout(late);
  if (mine !== newest) return;
  still(() => (answer ? hear(answer) : provisional()));
  if (!answer && !refused && navigator.onLine) judgeSoon(PATIENCE_MS);
  const words = place(`answer-${page.dataset.kept}`)?.textContent?.trim() ?? '';
  if (place('said').textContent !== words) place('said').textContent = words;
};
const judgeSoon = (after = PAUSE_MS) => {
  clearTimeout(pause);
  pause = setTimeout(judged, after);
};

/** Marks on the progress line which block is open and which are begun. */
const here = () => {
  const open = place(location.hash.slice(1))?.closest('.block') ?? sheet.querySelector('.block');
  const forms = within('form').filter((it) => [...texts([it]).values()].some(Boolean));
  const begun = new Set(forms.map((it) => it.closest('.block')?.id));
  for (const it of within('.begun')) it.textContent = String(begun.size);
  for (const link of /** @type {NodeListOf<HTMLAnchorElement>} */ (document.querySelectorAll('.where a'))) {
    link.classList.toggle('done', begun.has(link.hash.slice(1)));
    link.ariaCurrent = link.hash === `#${open?.id}` ? 'step' : null;
  }
  if (open?.id === 'block-hand-in') summary();
};
/** What is about to go in without network: what is outside or too close, and what is missing. */
const summary = () => {
  const told = within('.block:not(#block-hand-in) :is(.answer.outside, .answer.close, .fault)');
  place('told').replaceChildren(...told.map((it) => it.cloneNode(true)));
  const now = texts();
  for (const it of within('.needs')) {
    const [, stage, key] = /^(\w+)\.(.*)$/.exec(it.dataset.of ?? '') ?? [];
    const isThere = [key, `unchanged.${key}`].some((it) => now.get(`${stage}.${it}`));
    it.hidden = isThere || within(`[data-behind~="${key}"]:checked`).length > 0;
    it.querySelectorAll('input').forEach((reason) => (reason.required = !it.hidden));
  }
};

/** Keeps every field that was changed, and sends it. */
const keepTyped = async () => {
  const typed = drafts();
  for (const { name, text } of typed) show(name, text, Date.now());
  if (!typed.length) return;
  here();
  await keep(typed.map((it) => ({ kind: 'entry', visit, ...it })));
  page.dataset.kept = typed[0].name;
  judgeSoon();
  void flush();
};
/** Keeps a picture, and says so beside where it came from.
 * @param {string} name @param {Blob} blob @param {Element | null} beside */
const keepPicture = async (name, blob, beside) => {
  const isKept = await keep([{ kind: 'photo', visit, name, blob }]).then(() => true, () => false);
  beside?.after(copy('note', isKept ? 'Kept.' : 'This could not be kept: the phone may be full.'));
  void flush();
};
/** Whether everything arrived and the office answers, soon enough for somebody who waits. */
const isReached = () => {
  const late = new Promise((done) => setTimeout(done, 2 * PATIENCE_MS));
  return Promise.race([late, flush().then(async (left) => !left && (await ask(visit, [], base, {})).answer)]);
};

sheet.addEventListener('input', ({ target }) => {
  const { name } = /** @type {HTMLInputElement} */ (target);
  // A battery may die before the hand moves on.
  void remember(`drafts ${visit}`, drafts()).then(() => (page.dataset.draft = name));
  judgeSoon();
});
sheet.addEventListener('change', async ({ target }) => {
  const control = /** @type {HTMLInputElement} */ (target);
  const { photo, stops } = control.dataset;
  if (stops) stop();
  void keepTyped();
  const pictures = [...control.files ?? []];
  for (const it of pictures) await keepPicture(photo ?? '', await scaled(it), control.parentElement);
  if (photo) control.value = '';
});
// A sign that was changed by the button is no change to the browser.
sheet.addEventListener('focusout', () => void keepTyped());
addEventListener('visibilitychange', () => void (document.hidden && keepTyped()));
addEventListener('hashchange', here);
for (const event of ['sent', 'online', 'offline']) addEventListener(event, () => judgeSoon());

// With everything kept, a button only leads on.
place('main').addEventListener('submit', async (event) => {
  if (!page.classList.contains('scripted')) return;
  event.preventDefault();
  await keepTyped();
  const { dataset: { again }, form, value } = /** @type {HTMLButtonElement} */ (event.submitter);
  if (again) put(again, String(Number(texts().get(again) || 1) + 1));
  if (again) await keepTyped();
  else if (form?.id === 'decide') {
    const body = new URLSearchParams(/** @type {any} */ (new FormData(form, event.submitter)));
    const { answer, refused = 'The office can’t be reached: decide later.' } = await post(form.action, body);
    if (!answer) place('held').append(copy('note', refused));
    place('held').focus();
    await judged();
  } else if (form?.id === 'hand-in') {
    await keep([{ kind: 'hand_in', visit, name: '' }]);
    location.href = '/today';
  } else if (value !== 'hand-in') location.hash = `block-${value}`;
  else if (await isReached()) location.href = `/visits/${visit}/hand-in`;
  else location.hash = 'block-hand-in';
});

for (const sign of within('.sign')) {
  const field = /** @type {HTMLInputElement} */ (sign.nextElementSibling);
  // The button does what the keypad can't, and whoever presses it is still typing.
  field.inputMode = 'decimal';
  sign.addEventListener('mousedown', (event) => event.preventDefault());
  sign.addEventListener('click', () => {
    const isNegative = /^\s*[-−]/.test(field.value);
    field.value = (isNegative ? '' : '-') + field.value.replace(/^\s*[-−+]?\s*/, '');
    field.dispatchEvent(new Event('input', { bubbles: true }));
  });
}

/** The watch of “steady since”: one button begins it, the other takes the minutes down. */
for (const timer of within('.timer')) {
  const [start, take] = /** @type {any} */ (timer.children);
  const { for: name = '' } = timer.dataset;
  const look = async () => {
    const began = await word(`steady ${visit} ${name}`);
    take.hidden = !began;
    take.value = String(Math.max(0, Math.floor((Date.now() - began) / 60_000)));
    take.textContent = `Take ${take.value} min`;
  };
  start.addEventListener('click', () => void remember(`steady ${visit} ${name}`, Date.now()).then(look));
  take.addEventListener('click', () => {
    put(name, take.value);
    void keepTyped();
  });
  setInterval(look, 10_000);
  void look();
}

for (const canvas of sheet.querySelectorAll('canvas')) {
  const signature = pad(canvas);
  place('sign-again').addEventListener('click', signature.clear);
  place('signed').addEventListener('click', async () => {
    const picture = await signature.picture();
    signature.clear();
    if (picture) await keepPicture('signature', picture, canvas);
  });
}

// The page may be the one of this morning: it is brought up to what this phone has typed since.
await forgetSent((it) => it.visit === visit && it.place <= base);
const entries = await entriesOf(visit);
const left = (await word(`drafts ${visit}`)) ?? [];
bring(entries.map(({ name, text = '', at_ms }) => [name, text, at_ms]));
for (const { name, text } of left) put(name, text);
base = Math.min(base, ...[...entries, ...left].map((it) => it.base ?? base));
page.classList.add('scripted');
await keepTyped();
here();
stop();
page.classList.add('ready');
void judged();
