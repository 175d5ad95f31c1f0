// Saves each field of the check sheet as the hand moves on. Without this script the buttons save.
// @ts-check
'use strict';

const sheet = /** @type {HTMLFormElement | null} */ (document.getElementById('sheet'));
const saved = document.getElementById('saved');

/** @type {Promise<void>} */
let line = Promise.resolve();
let waiting = 0;
/** What could not be sent; it is tried again when the network is back. @type {Set<string>} */
const unsent = new Set();

/** Says in the strip on top how it stands. @param {string} words */
const say = (words) => {
  if (saved) saved.textContent = words;
};

/** Sends one field; they go one after the other, so that the last typed is the last saved.
 * @param {HTMLFormElement} form @param {string} name */
const send = (form, name) => {
  const body = new URLSearchParams();
  for (const [key, value] of new FormData(form)) {
    if (typeof value === 'string' && ['entries', 'device', name].includes(key)) body.append(key, value);
  }
  body.set('only', name);
  waiting += 1;
  say(`${waiting} saving`);
  line = line.then(async () => {
    let words = 'all saved';
    unsent.add(name);
    try {
      const answer = await fetch(form.action, {
        method: 'POST',
        body,
        // A hand that goes on by a link must not cut it off.
        keepalive: true,
        headers: { accept: 'application/json' },
      });
      if (answer.ok) {
        const { good, stop } = await answer.json();
        unsent.delete(name);
        if (stop && !unsent.size) location.reload();
        if (!good) words = 'one value can’t be: Save shows which';
      } else {
        words = 'not saved: use the Save button';
      }
    } catch {
      words = `no network: ${unsent.size} not saved yet, stay on this page`;
    }
    waiting -= 1;
    say(waiting ? `${waiting} saving` : words);
  });
};

sheet?.addEventListener('change', (event) => {
  const field = event.target;
  const isField =
    field instanceof HTMLInputElement ||
    field instanceof HTMLTextAreaElement ||
    field instanceof HTMLSelectElement;
  if (isField && field.name) send(sheet, field.name);
});

addEventListener('online', () => {
  if (sheet) for (const name of unsent) send(sheet, name);
});

// Leaving would lose what is not saved; the Save button saves all, so it may go.
let isSaving = false;
sheet?.addEventListener('submit', () => {
  isSaving = navigator.onLine;
});
addEventListener('beforeunload', (event) => {
  if (unsent.size && !waiting && !isSaving) event.preventDefault();
});
