// Talking to the program: the way in, one action at a time, and waiting for what others decide.
import { trouble } from "./dom.js";
import { store, takeUpdate } from "./store.js";

export class Refusal extends Error {}

// Hands over the secret of the address and takes it out of the address and the history.
export async function enter() {
  const key = location.hash.slice(1);
  if (!/^[0-9a-f]{20,}$/.test(key)) return;
  history.replaceState(null, "", "/");
  await ask("/enter", { body: JSON.stringify({ key }), json: true });
}

// Asks; returns the answer. Refusals carry the program's own sentence.
export async function ask(path, { body, json = false, accept = [] } = {}) {
  let answer;
  try {
    answer = await fetch(path, {
      method: body === undefined ? "GET" : "POST",
      body,
      headers: json ? { "content-type": "application/json" } : {},
    });
  } catch {
    throw new Refusal("callover desk does not answer: start it again and open the address that it prints. Nothing decided is lost.");
  }
  if (answer.ok || accept.includes(answer.status)) return answer;
  let why = `the program answered ${answer.status}`;
  try {
    why = (await answer.json()).why ?? why;
  } catch {
    // Not every refusal has a sentence of its own.
  }
  throw new Refusal(why);
}

export const read = async (path) => (await ask(path)).json();

let turn = Promise.resolve();

// Asks for a change. Each waits for the one before, so that each rests on the list that it shows.
// Returns true where it was kept. `next` is the item to be shown then, so that the one before is drawn once.
export function act(change, next = null) {
  const done = turn.then(async () => {
    try {
      const body = JSON.stringify({ after: store.event, change });
      const answer = await ask("/act", { body, json: true, accept: [409] });
      const update = await answer.json();
      if (answer.status === 409) {
        takeUpdate(update, { silent: true });
        trouble(`the list was changed elsewhere${update.told ? ` (${update.told})` : ""}; nothing was overwritten: look, and do it again`);
        return false;
      }
      takeUpdate(update, { next });
      return true;
    } catch (error) {
      trouble(error.message);
      return false;
    }
  });
  turn = done;
  return done;
}

// Waits for what other windows and the terminal decide, for ever.
export async function listen() {
  for (;;) {
    try {
      const answer = await ask(`/changes?after=${store.event}`);
      if (answer.status === 200) {
        const update = await answer.json();
        // What this page did itself is known already.
        if (update.event > store.event) takeUpdate(update, { elsewhere: true });
      }
    } catch (error) {
      trouble(error.message);
      await new Promise((again) => setTimeout(again, 2000));
    }
  }
}
