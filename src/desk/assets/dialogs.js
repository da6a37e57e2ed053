// Questions: why an item is rejected, what a new one says, and any that one line answers.
import { ask, counted, find, make, plain, startAsking, trouble } from "./dom.js";
import { act } from "./net.js";
import { byNumber, inOrder, opened, show, store, text, undecided } from "./store.js";
import { shownIds } from "./ledger.js";
import { complete } from "./field.js";

// As in the terminal.
const reasons = ["misheard", "not a defect", "said twice", "put right"];
let lastReason = reasons[1]; // why most proposals are rejected
let about = null; // the item that is rejected, or the words that a new one is made from
let answered = null; // what is done with the answer to a question

export function startDialogs() {
  startAsking();
  for (const button of document.querySelectorAll("[data-close]")) button.addEventListener("click", () => button.closest("dialog").close());
  for (const input of document.querySelectorAll("#new-item input")) complete(input, input.dataset.field);
  find("#reasons").append(...reasons.map((reason, place) => make("button", { type: "button", onclick: () => reject(reason) }, `${place + 1} ${reason}`)));
  sent("#reject", () => reject(find("#reject input").value));
  find("#reject input").addEventListener("keydown", (event) => {
    const reason = reasons[Number(event.key) - 1];
    if (reason && !event.target.value) {
      event.preventDefault();
      reject(reason);
    }
  });
  find("#standings").append(...store.standings.map(({ name, words }) => make("label", {}, make("input", { type: "radio", name: "standing", value: name }), words)));
  sent("#stand", () => act({ do: "stand", number: about.number, standing: find("#stand input:checked").value, note: find("#stand [name=note]").value.trim() }));
  sent("#new-item", add);
  sent("#question", () => answered?.(find("#question input").value.trim()));
  find("#new").addEventListener("click", () => askNew());
  find("#rest").addEventListener("click", askAbove);
  find("#help").addEventListener("click", () => find("#keys").showModal());
  find("#undo").addEventListener("click", () => act({ do: "undo" }));
  find("#redo").addEventListener("click", () => act({ do: "redo" }));
}

// The form is sent by Enter or its first button; the dialog closes by itself.
function sent(id, then) {
  find(`${id} form`).addEventListener("submit", then);
}

// Asks what one line answers.
export function question({ title, label, value = "", submit, note = "", field, numeric = false, optional = false, counts }, then) {
  answered = then;
  const input = make("input", { name: "answer", autocomplete: "off", ...(numeric ? { inputmode: "numeric" } : {}), ...(optional ? {} : { required: true }) });
  const box = make("label", {}, label, input);
  find("#question-title").textContent = title;
  find("#question .answer").replaceChildren(box);
  find("#question [type=submit]").textContent = submit;
  const tell = () => (find("#question .note").textContent = counts ? counts(input.value) : note);
  input.value = value;
  input.addEventListener("input", tell);
  tell();
  if (field) complete(input, field);
  ask(find("#question"));
  input.select();
}

// Accepts an item, or keeps a change that does, and goes on to the next undecided one. Tells whether that
// was kept.
export async function accept(item, change = { do: "accept", number: item.number }) {
  const next = undecidedAfter(item.id);
  const kept = await act(change, next);
  if (kept && next) show(next);
  return kept;
}

export function askReason(item) {
  about = item;
  find("#reject-title").textContent = `Reject item ${item.number}`;
  find("#reject input").value = "";
  ask(find("#reject"));
  find("#reject input").focus();
}

export function rejectAgain(item) {
  about = item;
  reject(lastReason);
}

async function reject(reason) {
  lastReason = reason;
  find("#reject").close();
  const next = undecidedAfter(about.id);
  if ((await act({ do: "reject", number: about.number, reason }, next)) && next) show(next);
}

// Drops what a later visit is said to have found.
export async function dismiss(item) {
  const next = undecidedAfter(item.id);
  if ((await act({ do: "dismiss", number: item.number }, next)) && next) show(next);
}

// Asks how the work on an item stands since the last visit.
export function askStanding(item) {
  if (!store.progress.visit) return trouble("how an item stands is said of a later visit, and there was none yet");
  about = item;
  const now = item.finding?.seen.standing ?? item.standing ?? "open";
  find("#stand-title").textContent = `How item ${item.number} stands`;
  find(`#standings [value="${now}"]`).checked = true;
  find("#stand [name=note]").value = "";
  ask(find("#stand"));
  find("#standings :checked").focus();
}

export function skip() {
  const next = undecidedAfter(store.open);
  if (next) show(next);
  else trouble("there is no other undecided item");
}

// The next undecided item as shown, going round; null where there is none.
function undecidedAfter(id) {
  const ids = shownIds();
  const at = ids.indexOf(id);
  const round = [...ids.slice(at + 1), ...ids.slice(0, Math.max(at, 0))];
  return round.find((other) => undecided(store.items.get(other))) ?? null;
}

// Asks for a new item. It may be made from words of the transcript or from a statement in no item; the
// program then understands them for what is left empty.
export function askNew(from = null) {
  about = from;
  find("#new-item form").reset();
  const [place, element, defect] = ["place", "element", "defect"].map((name) => find(`#new-item [name=${name}]`));
  place.value = from ? (from.place ?? "") : opened() ? text(opened(), "place") : "";
  for (const input of [place, element, defect]) {
    input.required = !from;
    delete input.dataset.typed;
  }
  find("#new-quote").hidden = !from;
  find("#new-quote").textContent = from ? `“${plain(from.quote)}”` : "";
  find("#new-note").textContent = from ? "What you leave empty is filled from these words where they can be understood." : "Written by you, so it counts as confirmed.";
  ask(find("#new-item"));
  (place.value || from ? element : place).focus();
}

async function add() {
  const fact = (name) => find(`#new-item [name=${name}]`).value.trim();
  const item = { place: fact("place"), element: fact("element"), defect: fact("defect") };
  const known = new Set(store.order);
  const change =
    about?.statement !== undefined ? { do: "promote", new: item, statement: about.statement } : about ? { do: "add-said", new: item, words: about.words } : { do: "add", new: item };
  if (await act(change)) {
    const added = store.order.find((id) => !known.has(id));
    if (added) show(added);
  }
}

export function askAbove() {
  const counts = (least) => `${counted(inOrder().filter((item) => undecided(item) && item.confidence >= Number(least)).length, "item")} would be confirmed unseen; Undo takes it back.`;
  question({ title: "Accept sure ones", label: "All undecided items from confidence", value: "0.95", submit: "Accept", counts }, (least) => act({ do: "accept-above", confidence: Number(least) }));
}

export function askWhich() {
  question({ title: "Go to item", label: "Number", submit: "Go", numeric: true }, (number) => {
    const item = byNumber(Number(number));
    if (item) show(item.id);
    else trouble(`there is no item ${number}`);
  });
}
