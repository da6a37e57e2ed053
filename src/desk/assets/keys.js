// Single keys, as in the terminal. They can be switched off, so that speech input and screen readers
// are not taken by surprise (WCAG 2.2, 2.1.4).
import { find, make, trouble } from "./dom.js";
import { act } from "./net.js";
import { on, opened, show, store, tell } from "./store.js";
import { shownIds } from "./ledger.js";
import { accept, askAbove, askNew, askReason, askStanding, askWhich, dismiss, rejectAgain, skip } from "./dialogs.js";
import { askCopy, askJoin, askMove, askNumber, askPlace, askSplit, startRework } from "./rework.js";
import { showUnlisted } from "./unlisted.js";
import { playItem, toggle } from "./sound.js";
import { fromWords } from "./words.js";

const kept = "callover-keys";

export function startKeys() {
  const box = find("#keys-on");
  box.checked = localStorage.getItem(kept) !== "off";
  box.addEventListener("change", () => localStorage.setItem(kept, box.checked ? "on" : "off"));
  startRework();
  on("learn", () => (store.offer ? act({ do: "teach", number: store.offer.number }) : trouble("nothing was corrected that could be learnt from")));
  const fields = store.fields.map((field) => [field.key, `change the ${field.name}`]);
  const all = [...Object.entries(keys).map(([key, [label]]) => [key === " " ? "Space" : key, label]), ...fields, [store.fields.map((field) => field.last ?? "").filter(Boolean).join(" "), "as capitals: change it, and accept the item with it"], ["1 to 8", "while changing a field: take the text offered with that digit; of figures, the first with m or c again, with M or C to accept the item too"], ["a", "behind a figure: keep it, and accept the item with it"], ["Esc", "while typing: leave it as it was"], ["Tab", "while typing: take the first choice"]];
  find("#key-list").append(...all.flatMap(([key, label]) => [make("dt", {}, make("kbd", {}, key)), make("dd", {}, label)]));
  document.addEventListener("keydown", pressed);
}

const item = (then) => () => (opened() ? then(opened()) : trouble("no item is open"));
const keys = {
  a: ["accept the item, and open the next undecided one", item(accept)],
  x: ["reject it, with a reason; or dismiss what a later visit found", item((open) => (open.finding ? dismiss(open) : askReason(open)))],
  X: ["reject it for the reason given last", item(rejectAgain)],
  P: ["after another place: take the items after it along that stand where it stood", item(({ number }) => act({ do: "along", number }))],
  S: ["say how its work stands since a later visit", item(askStanding)],
  s: ["skip it: open the next undecided one", skip],
  z: ["restore it: make it undecided again", item(({ number }) => act({ do: "restore", number }))],
  u: ["undo the last decision, also one from an earlier sitting", () => act({ do: "undo" })],
  y: ["do again what was undone", () => act({ do: "redo" })],
  A: ["accept all undecided items of at least a confidence", askAbove],
  L: ["after a correction: learn from it, as offered", () => tell("learn")],
  n: ["write a new item, from the selected words where there are some", () => askNew(fromWords())],
  i: ["what was said and is in no item", showUnlisted],
  b: ["the same at other places too: copy the item there", item(askCopy)],
  h: ["split it into two, at a word of what was heard", item(askSplit)],
  j: ["join another item into it", item(askJoin)],
  M: ["move it, or all that are shown, to another place", item(askMove)],
  N: ["give it another number, or number all anew", item(askNumber)],
  "+": ["to the photos, to put one to the item", () => toPhotos()],
  C: ["accept the rest of this place, from a confidence on", askPlace],
  l: ["play or pause the item's moment, as the space bar", () => hear()],
  f: ["show some only", () => find("#show").focus()],
  " ": ["play or pause the item's moment", () => hear()],
  ArrowLeft: ["the item before", () => step(-1)],
  ArrowRight: ["the item after", () => step(1)],
  Home: ["the first item", () => shownIds()[0] && show(shownIds()[0])],
  End: ["the last item", () => shownIds().length && show(shownIds().at(-1))],
  g: ["go to an item by its number", askWhich],
  "/": ["search", () => find("#search").focus()],
  "?": ["these keys", () => find("#keys").showModal()],
};

const hear = () => toggle() || (opened() && playItem(opened()));

function toPhotos() {
  find('.views [data-view="photos"]').click();
  (find("#shelf .put:not(:disabled)") ?? find("#photo-files")).focus();
}

function step(by) {
  const ids = shownIds();
  const at = ids.indexOf(store.open);
  const next = ids[at + by];
  if (next === undefined) trouble(by > 0 ? "this is the last item" : "this is the first item");
  else show(next);
  if (next && find("#as-you-go").checked) playItem(store.items.get(next));
}

function pressed(event) {
  if (event.ctrlKey || event.metaKey || event.altKey || document.querySelector("dialog[open]") || !find("#keys-on").checked) return;
  if (event.target.closest("input:not([type=checkbox], [type=file]), textarea, select, [role=slider]")) return;
  // Buttons answer to the space bar and Enter themselves.
  if (event.key === " " && event.target.closest("button, label, input, a")) return;
  const known = keys[event.key];
  const field = store.fields.find((field) => [field.key, field.last].includes(event.key));
  if (!known && !field) return;
  event.preventDefault();
  if (known) known[1]();
  else {
    const shown = document.querySelector(`.item.open [data-field="${field.name}"]`);
    if (shown && field.last === event.key) shown.dataset.last = "yes";
    shown?.click();
  }
}
