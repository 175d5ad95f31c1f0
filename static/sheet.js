// The check sheet on a phone: keeps each change at once, sends it when it can, and shows the answers:
// the engine's with network, the limits sheet's (provisional) without.
// @ts-check

import { asLeft, cantBe, judge, number } from './limits.js';
import { ask, entriesOf, flush, forgetSent, keep, keepIn, remember, standing, word } from './queue.js';
import { pad, scaled } from './photo.js';

/** How long a hand rests before what it is typing is judged. */
const PAUSE_MS = 100;

const sheet = /** @type {HTMLElement} */ (document.getElementById('sheet'));
const { visit = '', person = '' } = sheet.dataset;
const limits = JSON.parse(sheet.dataset.limits ?? 'null');
/** The last entry that this page knows of, and of fields that it couldn't bring up to date, the last
 * that it knew then. */
let base = Number(sheet.dataset.entries);
/** @type {Map<string, number>} */
const behind = new Map();
/** What each field held as it was last kept. @type {Map<string, string>} */
const kept = new Map();

/** @typedef {HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement} Control */
/** @param {EventTarget | null} it @returns {it is Control} */
const isControl = (it) =>
  (it instanceof HTMLInputElement || it instanceof HTMLTextAreaElement || it instanceof HTMLSelectElement) &&
  /^as_(found|left)\./.test(it.name);
/** Every control by the name of its field; the page never gets others. @type {Map<string, Control[]>} */
const fields = new Map();
for (const it of [...sheet.querySelectorAll('input, textarea, select')].filter(isControl)) {
  fields.set(it.name, [...(fields.get(it.name) ?? []), it]);
}
/** What a field holds, by its name. @param {string} name */
const held = (name) => {
  const all = fields.get(name) ?? [];
  const [first] = all;
  if (!(first instanceof HTMLInputElement) || !['radio', 'checkbox'].includes(first.type)) return first?.value.trim() ?? '';
  return all.find((it) => it instanceof HTMLInputElement && it.checked)?.value ?? '';
};
/** @param {string} name @param {string} text */
const put = (name, text) => {
  for (const it of fields.get(name) ?? []) {
    if (it instanceof HTMLInputElement && it.type === 'radio') it.checked = it.value === text;
    else if (it instanceof HTMLInputElement && it.type === 'checkbox') it.checked = text !== '';
    else it.value = text;
  }
};
/** Fields that are being typed in and not kept yet. */
const drafts = () => {
  /** @type {Record<string, string>} */
  const all = {};
  for (const name of kept.keys()) if (held(name) !== kept.get(name)) all[name] = held(name);
  return all;
};

/** Shows an answer of the server; the pieces of one that was overtaken are old already.
 * @param {import('./queue.js').Answer} answer @param {boolean} isNewest */
const hear = (answer, isNewest) => {
  const busy = drafts();
  for (const [name, text] of answer.newer) {
    if (name in busy) behind.set(name, behind.get(name) ?? base);
    else {
      put(name, text);
      kept.set(name, text);
    }
  }
  base = Math.max(base, answer.entries);
  for (const [place, markup] of isNewest ? Object.entries(answer.pieces) : []) {
    const here = document.getElementById(place);
    // The browser writes markup its own way: what came last is what is compared.
    if (here && here.dataset.came !== markup) {
      here.dataset.came = markup;
      here.innerHTML = markup;
    }
  }
};

/** Counts what was asked, and what was asked last with entries. */
let newest = 0;
let withEntries = 0;
const asked = {
  visit,
  base: () => base,
  drafts: () => {
    withEntries = ++newest;
    return drafts();
  },
  /** @param {import('./queue.js').Answer} answer */
  hear: (answer) => hear(answer, withEntries === newest),
};
/** Judges everything as it is typed: by the engine, or by the limits sheet if it can't be reached. */
const judged = async () => {
  const mine = ++newest;
  const { answer } = navigator.onLine ? await ask(visit, person, [], base, drafts()) : { answer: null };
  if (mine !== newest) return;
  if (answer) hear(answer, true);
  else provisional();
};

/** A piece of the page. @param {string} name @param {string} words @param {...(Node | string)} inside */
const piece = (name, words, ...inside) => {
  const it = document.createElement(name);
  it.className = words;
  it.append(...inside);
  return it;
};
const WORDS = { within: 'Within', too_close: 'Too close to call', outside: 'Outside', not_valid: 'Not valid' };
const CLASSES = { within: 'within', too_close: 'close', outside: 'outside', not_valid: 'void' };

/** What one stage holds, as the limits sheet takes it. @param {string} stage */
const taken = (stage) => {
  /** @type {{readings: Record<string, number>, ticks: string[], minutes: Record<string, number>}} */
  const all = { readings: {}, ticks: [], minutes: {} };
  for (const [name, [control]] of fields) {
    const text = name.startsWith(`${stage}.`) ? held(name) : '';
    const field = name.slice(stage.length + 1);
    if (!text) continue;
    if (field.includes('.')) all.ticks.push(field);
    for (const it of control.dataset.behind?.split(' ') ?? []) all.ticks.push(`after_repair.${it}`);
    const value = field.includes('.') ? null : number(text);
    if (value !== null) all.readings[field] = value;
    if (value !== null && control.dataset.at) all.minutes[field] = Number(control.dataset.at) / 60_000;
  }
  return all;
};

/** What the limits sheet says of both stages, each under the last of its readings. */
const provisional = () => {
  if (!limits) return;
  const [found, left] = [taken('as_found'), taken('as_left')];
  for (const place of /** @type {NodeListOf<HTMLElement>} */ (sheet.querySelectorAll('[id^="answer-"]'))) {
    place.replaceChildren();
    delete place.dataset.came;
  }
  for (const [stage, { readings, ticks, minutes }] of /** @type {const} */ ([['as_found', found], ['as_left', asLeft(found, left)]])) {
    const impossible = cantBe(limits, readings).words;
    for (const [field, words] of Object.entries(impossible)) {
      document.getElementById(`answer-${stage}.${field}`)?.append(piece('p', 'fault', words));
    }
    for (const it of judge(limits, readings, ticks, minutes)) {
      if (it.hazard) stop(it.hazard);
      if (!(it.outcome in WORDS)) continue;
      const outcome = /** @type {keyof typeof WORDS} */ (it.outcome);
      const mark = document.getElementById(`mark-${outcome}`);
      const shape = mark instanceof HTMLTemplateElement ? mark.content.cloneNode(true) : '';
      const words = piece('p', '', `${it.label}: ${it.words} `, piece('b', '', 'Provisional.'));
      const answer = piece('div', `answer provisional ${CLASSES[outcome]}`, piece('span', 'verdict', shape, WORDS[outcome]), words);
      document.getElementById(`answer-${stage}.${it.field}`)?.append(answer);
    }
  }
};

/** Stops the work at once, with what to do. @param {string} hazard */
const stop = (hazard) => {
  const words = document.getElementById(`hazard-${hazard}`);
  const top = document.getElementById('hazards');
  if (!(words instanceof HTMLTemplateElement) || !top || top.querySelector(`[data-hazard="${hazard}"]`)) return;
  top.append(words.content.cloneNode(true));
  top.scrollIntoView();
};

/** Keeps a field that was changed, sends it and has it judged. @param {string} name @param {string} text */
const change = async (name, text) => {
  if (kept.get(name) === text) return;
  kept.set(name, text);
  const [control] = fields.get(name) ?? [];
  if (control) control.dataset.at = text && String(Date.now());
  const time = control?.closest('.point')?.querySelector('time');
  if (time) time.textContent = text && `read ${new Date().toLocaleTimeString([], { hour: 'numeric', minute: '2-digit' })}`;
  here();
  const knew = behind.get(name) ?? base;
  behind.delete(name);
  await keep({ visit, person, base: knew, name, text });
  document.documentElement.dataset.kept = name;
  const before = newest;
  await flush(person, asked);
  if (before === newest || withEntries < newest) await judged();
  const said = document.getElementById('said');
  if (said) said.textContent = document.getElementById(`answer-${name}`)?.textContent?.trim() ?? '';
};
const keepAll = () => Promise.all(Object.entries(drafts()).map(([name, text]) => change(name, text)));

let pause = 0;
sheet.addEventListener('input', ({ target }) => {
  if (!isControl(target)) return;
  // A battery may die before the hand moves on.
  void remember(`draft ${visit} ${person} ${target.name}`, held(target.name)).then(() => {
    document.documentElement.dataset.draft = target.name;
  });
  clearTimeout(pause);
  pause = setTimeout(() => void judged(), PAUSE_MS);
});
sheet.addEventListener('change', ({ target }) => {
  if (target instanceof HTMLInputElement && target.dataset.photo !== undefined) void photo(target);
  if (!isControl(target)) return;
  if (target instanceof HTMLInputElement && target.dataset.stops && target.checked) stop(target.dataset.stops);
  void change(target.name, held(target.name));
});
// A sign that was changed by the button is no change to the browser.
sheet.addEventListener('focusout', ({ target }) => void (isControl(target) && change(target.name, held(target.name))));
addEventListener('visibilitychange', () => void (document.hidden && keepAll()));

/** @param {HTMLInputElement} from */
const photo = async (from) => {
  for (const file of from.files ?? []) {
    await keepIn('photo', { visit, person, field: from.dataset.photo ?? '', at_ms: Date.now(), blob: await scaled(file) });
    from.closest('label')?.after(piece('span', 'quiet', 'Photo kept. '));
  }
  from.value = '';
  void flush(person, asked);
};

// Nothing is left to save when a block's button is pressed: it only leads on.
addEventListener('submit', async (event) => {
  const { submitter, target } = event;
  if (!(submitter instanceof HTMLButtonElement) || !(target instanceof HTMLFormElement)) return;
  if (target.id === 'decide') return;
  event.preventDefault();
  await keepAll();
  if (target.id === 'hand-in') return void handIn();
  if (submitter.value !== 'hand-in') return void (location.hash = `block-${submitter.value}`);
  await flush(person, asked);
  if ((await standing()).waiting) {
    summary();
    location.hash = 'block-hand-in';
  } else location.href = `/visits/${visit}/hand-in`;
});

/** What is about to go in without network: what is outside or too close, and what is missing. */
const summary = () => {
  const told = sheet.querySelectorAll('.answer.outside, .answer.close, p.fault:not(:empty):not(#lacks)');
  const lines = [...told].map((it) => piece('li', it.className.replace('answer', ''), it.textContent ?? ''));
  document.getElementById('told')?.replaceChildren(...lines);
  for (const it of /** @type {NodeListOf<HTMLElement>} */ (sheet.querySelectorAll('.needs'))) {
    const name = it.dataset.of ?? '';
    it.hidden = Boolean(held(name) || held(name.replace('.', '.unchanged.')));
  }
};
const handIn = async () => {
  const lacking = [...sheet.querySelectorAll('.needs:not([hidden]) input')];
  const silent = lacking.filter((it) => held(/** @type {HTMLInputElement} */ (it).name).length < 3).length;
  const lacks = document.getElementById('lacks');
  if (lacks) lacks.textContent = silent ? `${silent} needed and missing: enter it, or say why.` : '';
  if (silent) return;
  await keepIn('hand_in', { visit, person });
  await flush(person, asked);
  location.href = '/today';
};
sheet.addEventListener('click', ({ target }) => {
  if (!(target instanceof HTMLButtonElement)) return;
  const field = target.parentElement?.querySelector('input');
  if (target.classList.contains('sign') && field) {
    field.value = /^[-−]/.test(field.value) ? field.value.slice(1) : `-${field.value}`;
    field.dispatchEvent(new Event('input', { bubbles: true }));
  }
});
// Who changes the sign is still typing.
sheet.addEventListener('pointerdown', (event) => {
  if (event.target instanceof Element && event.target.classList.contains('sign')) event.preventDefault();
});

/** The watch of “steady since”: begins by a press, and a second press takes the minutes down. */
for (const timer of /** @type {NodeListOf<HTMLElement>} */ (sheet.querySelectorAll('.timer'))) {
  const button = /** @type {HTMLButtonElement} */ (timer.querySelector('button'));
  const shown = /** @type {HTMLOutputElement} */ (timer.querySelector('output'));
  const name = timer.dataset.for ?? '';
  const key = `steady ${visit} ${name}`;
  const look = async () => {
    const since = await word(key);
    const minutes = since ? Math.floor((Date.now() - since) / 60_000) : 0;
    shown.textContent = since ? `${minutes} min` : '';
    button.textContent = since ? 'Take these minutes' : 'Runs steadily from now';
    return since ? minutes : null;
  };
  button.addEventListener('click', async () => {
    const minutes = await look();
    if (minutes === null) await remember(key, Date.now());
    else {
      put(name, String(minutes));
      await change(name, String(minutes));
    }
    await look();
  });
  setInterval(look, 10_000);
  void look();
}

const canvas = document.querySelector('canvas');
if (canvas) {
  const drawn = pad(canvas, () => undefined);
  document.getElementById('sign-again')?.addEventListener('click', () => drawn.clear());
  document.getElementById('signed')?.addEventListener('click', async () => {
    const blob = await drawn.blob();
    if (drawn.isEmpty() || !blob) return;
    await keepIn('photo', { visit, person, field: 'signature', at_ms: Date.now(), blob });
    /** @type {HTMLElement} */ (canvas).after(piece('p', 'quiet', 'The signature is kept.'));
    void flush(person, asked);
  });
}

/** Marks on the progress line which block is open and which are begun. */
const here = () => {
  const filled = [...fields].filter(([name]) => held(name));
  const begun = new Set(filled.map(([, [first]]) => `#${first.closest('.block')?.id}`));
  for (const count of document.querySelectorAll('.begun')) count.textContent = String(begun.size);
  const open = document.getElementById(location.hash.slice(1))?.closest('.block') ?? sheet.querySelector('.block');
  for (const link of document.querySelectorAll('.where a')) {
    const isHere = link.getAttribute('href') === `#${open?.id}`;
    link.classList.toggle('done', begun.has(link.getAttribute('href') ?? ''));
    link.classList.toggle('here', isHere);
    if (isHere) link.setAttribute('aria-current', 'step');
    else link.removeAttribute('aria-current');
  }
};
addEventListener('hashchange', here);

/** Brings the page up to what this phone has typed: it may be the page of this morning. */
const begin = async () => {
  document.documentElement.classList.add('scripted');
  here();
  for (const it of /** @type {NodeListOf<HTMLInputElement>} */ (sheet.querySelectorAll('input[inputmode="text"]'))) {
    it.inputMode = 'decimal';
  }
  for (const name of fields.keys()) kept.set(name, held(name));
  await forgetSent(visit, base);
  for (const entry of await entriesOf(visit, person)) {
    put(entry.name, entry.text);
    kept.set(entry.name, entry.text);
  }
  for (const name of [...kept.keys()]) {
    const draft = await word(`draft ${visit} ${person} ${name}`);
    if (draft !== undefined && draft !== kept.get(name)) {
      put(name, draft);
      await change(name, draft);
    }
  }
  for (const it of sheet.querySelectorAll('input[data-stops]:checked')) stop(/** @type {HTMLElement} */ (it).dataset.stops ?? '');
  document.documentElement.classList.add('ready');
  await flush(person, asked);
  await judged();
};
addEventListener('online', () => void flush(person, asked).then(judged));
addEventListener('offline', () => provisional());
void begin();
