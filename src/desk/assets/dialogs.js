// Questions: why an item is rejected, what a new one says, which to accept unseen, where to go.
import { counted, find, make, plain, trouble } from "./dom.js";
import { act } from "./net.js";
import { byNumber, inOrder, opened, show, store, text, undecided } from "./store.js";
import { shownIds } from "./ledger.js";
import { complete } from "./field.js";

// As in the terminal.
const reasons = ["misheard", "not a defect", "said twice", "put right"];
let about = null;

export function startDialogs() {
  for (const button of document.querySelectorAll("[data-close]")) button.addEventListener("click", () => button.closest("dialog").close());
  for (const input of document.querySelectorAll("#new-item input")) complete(input, input.dataset.field);
  find("#reasons").append(
    ...reasons.map((reason, place) => make("button", { type: "button", onclick: () => reject(reason) }, `${place + 1} ${reason}`)),
  );
  on("#reject", () => reject(find("#reject input").value));
  find("#reject input").addEventListener("keydown", (event) => {
    const reason = reasons[Number(event.key) - 1];
    if (reason && !event.target.value) {
      event.preventDefault();
      reject(reason);
    }
  });
  on("#new-item", add);
  on("#above", () => act({ do: "accept-above", confidence: Number(find("#above input").value) }));
  find("#above input").addEventListener("input", countAbove);
  on("#go", () => {
    const item = byNumber(Number(find("#go input").value));
    if (item) show(item.id);
    else trouble(`there is no item ${find("#go input").value}`);
  });
  find("#new").addEventListener("click", () => askNew());
  find("#rest").addEventListener("click", askAbove);
  find("#help").addEventListener("click", () => find("#keys").showModal());
  find("#undo").addEventListener("click", () => act({ do: "undo" }));
  find("#redo").addEventListener("click", () => act({ do: "redo" }));
}

// The form is sent by Enter or its first button; the dialog closes by itself.
function on(id, then) {
  find(`${id} form`).addEventListener("submit", then);
}

// Accepts an item and goes on to the next undecided one.
export async function accept(item) {
  const next = undecidedAfter(item.id);
  if (await act({ do: "accept", number: item.number })) if (next) show(next);
}

export function askReason(item) {
  about = item;
  find("#reject-title").textContent = `Reject item ${item.number}`;
  find("#reject input").value = "";
  find("#reject").showModal();
  find("#reject input").focus();
}

async function reject(reason) {
  find("#reject").close();
  const next = undecidedAfter(about.id);
  if (await act({ do: "reject", number: about.number, reason })) if (next) show(next);
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

// Asks for a new item; `from` holds the words of the transcript that it is made from.
export function askNew(from = null) {
  about = from;
  const place = find("#new-item [name=place]");
  find("#new-item form").reset();
  place.value = from?.place ?? (opened() ? text(opened(), "place") : "");
  find("#new-quote").hidden = !from;
  find("#new-quote").textContent = from ? `“${plain(from.quote)}”` : "";
  find("#new-item").showModal();
  (place.value ? find("#new-item [name=element]") : place).focus();
}

async function add() {
  const [place, element, defect] = ["place", "element", "defect"].map((name) => find(`#new-item [name=${name}]`).value);
  const known = new Set(store.order);
  const from = about ? { recording: about.recording, words: about.words, span: about.span, quote: about.quote } : undefined;
  if (await act({ do: "add", place, element, defect, ...(from ? { from } : {}) })) {
    const added = store.order.find((id) => !known.has(id));
    if (added) show(added);
  }
}

export function askAbove() {
  find("#above").showModal();
  countAbove();
  find("#above input").select();
}

function countAbove() {
  const least = Number(find("#above input").value);
  const count = inOrder().filter((item) => undecided(item) && item.confidence >= least).length;
  find("#above-count").textContent = `${counted(count, "item")} would be confirmed unseen; Undo takes it back.`;
}

export function askNumber() {
  find("#go input").value = "";
  find("#go").showModal();
}
