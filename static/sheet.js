// Saves each field of the check sheet as the hand moves on. Without this script the buttons save.
// @ts-check
'use strict';

const sheet = /** @type {HTMLFormElement | null} */ (document.getElementById('sheet'));
const saved = document.getElementById('saved');

/** @type {Promise<void>} */
let line = Promise.resolve();
let waiting = 0;

/** Says in the strip on top how it stands. @param {string} words */
const say = (words) => {
  if (saved) saved.textContent = words;
};

/** Sends one field; they go one after the other, so that the last typed is the last saved.
 * @param {HTMLFormElement} form @param {string} name */
const send = (form, name) => {
  const body = new URLSearchParams();
  for (const [key, value] of new FormData(form)) {
    if (typeof value === 'string' && (key === name || key === 'entries')) body.append(key, value);
  }
  body.set('only', name);
  waiting += 1;
  say(`${waiting} saving`);
  line = line.then(async () => {
    let words = 'all saved';
    try {
      const answer = await fetch(form.action, {
        method: 'POST',
        body,
        headers: { accept: 'application/json' },
      });
      if (!answer.ok) words = 'not saved: use the Save button';
      else if (!(await answer.json()).good) words = 'one value can’t be: Save shows which';
    } catch {
      words = 'no network: use the Save button';
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
