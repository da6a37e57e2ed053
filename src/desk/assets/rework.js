// Dividing, joining, copying, moving and numbering items.
import { ask, find, make, plain, trouble } from "./dom.js";
import { act } from "./net.js";
import { inOrder, opened, store, text } from "./store.js";
import { question } from "./dialogs.js";
import { shownIds } from "./ledger.js";

export function startRework() {
  find("#split form").addEventListener("submit", () => {
    const chosen = find("#split input:checked");
    if (chosen && splitting) act({ do: "split", number: splitting.number, at: Number(chosen.value) });
  });
}

let splitting = null;

// Asks at which word an item becomes two. The arrow keys go from word to word.
export function askSplit(item) {
  const words = (item.quote ?? "").split(/\s+/).filter(Boolean);
  if (words.length < 2) return trouble(`item ${item.number} has too few words to split it`);
  splitting = item;
  const middle = Math.ceil(words.length / 2);
  find("#split-title").textContent = `Split item ${item.number}`;
  find("#split-words").replaceChildren(
    make("span", { class: "stays" }, plain(words[0])),
    ...words.slice(1).map((word, place) =>
      make("label", {}, make("input", { type: "radio", name: "at", value: place + 1, checked: place + 1 === middle, "aria-label": `The new item begins at “${word}”` }), make("span", {}, plain(word))),
    ),
  );
  ask(find("#split"));
  find("#split input:checked").focus();
}

export const askJoin = (item) =>
  question({ title: `Join into item ${item.number}`, label: "Number of the other item", submit: "Join", note: "The other item goes into this one; Undo takes it back.", numeric: true }, (other) => act({ do: "merge", number: item.number, other: Number(other) }));

export const askCopy = (item) =>
  question({ title: `Same as item ${item.number} elsewhere`, label: "Places, with commas between", submit: "Copy", field: "place" }, (places) => act({ do: "copy", number: item.number, places: listed(places) }));

// Moves the open item, or all that are shown.
export function askMove(item) {
  const shown = shownIds().map((id) => store.items.get(id)).filter((other) => other.status !== "rejected");
  const some = shown.length < inOrder().length && shown.length > 1;
  const asked = { title: `Move item ${item.number}`, label: "To which place", submit: "Move", field: "place", note: some ? `All ${shown.length} items shown can be moved: end the place with *.` : "" };
  question(asked, (place) => {
    const all = some && place.endsWith("*");
    act({ do: "move", numbers: (all ? shown : [item]).map((other) => other.number), place: place.replace(/\*$/, "") });
  });
}

export const askNumber = (item) =>
  question({ title: `Number of item ${item.number}`, label: "New number, or nothing to number all anew in order", submit: "Number", numeric: true, optional: true }, (to) => act(to ? { do: "renumber", number: item.number, to: Number(to) } : { do: "renumber-all" }));

export function askPlace() {
  const item = opened();
  if (!item) return;
  const place = text(item, "place");
  question({ title: `Accept the rest of ${plain(place)}`, label: "From confidence", value: "0.8", submit: "Accept", note: "Undecided items of this place are confirmed unseen; Undo takes it back." }, (least) => act({ do: "accept-place", place, confidence: Number(least) }));
}

const listed = (places) => places.split(",").map((place) => place.trim()).filter(Boolean);
