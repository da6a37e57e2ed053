// What was said and is in no item: nothing is lost silently, and each can be made an item.
import { clock, counted, find, make, plain } from "./dom.js";
import { on, store } from "./store.js";
import { askNew } from "./dialogs.js";
import { playFrom, turnTo } from "./sound.js";

export function startUnlisted() {
  on("unlisted", fill);
}

function fill() {
  find("#unlisted").hidden = store.unlisted.length === 0;
  find("#unlisted summary").textContent = `Said, and in no item: ${counted(store.unlisted.length, "statement")}`;
  find("#unlisted ul").replaceChildren(
    ...store.unlisted.map((said) =>
      make(
        "li",
        {},
        make("p", {}, `“${plain(said.quote)}”`, " ", make("span", { class: "aside" }, plain(said.why))),
        make(
          "p",
          { class: "marks" },
          make("button", { type: "button", class: "put", "aria-label": `Make an item of: ${plain(said.quote)}`, onclick: () => askNew(said) }, "Make it an item"),
          said.span && make("button", { type: "button", class: "play", "aria-label": `Play at ${clock(said.span[0])}`, onclick: () => (turnTo(said.recording), playFrom(said.span[0] - 1000, said.span[1] + 600)) }, "▶ ", clock(said.span[0])),
        ),
      ),
    ),
  );
}

export function showUnlisted() {
  const box = find("#unlisted");
  box.open = true;
  box.scrollIntoView({ block: "start" });
  (box.querySelector("li button") ?? box.querySelector("summary")).focus({ preventScroll: true });
}
