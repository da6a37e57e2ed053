// Changing a field where it stands, with completion from the vocabulary and from this job.
import { make, plain } from "./dom.js";
import { accept } from "./dialogs.js";
import { act, read } from "./net.js";
import { store, text } from "./store.js";

let count = 0;

// Texts for a field, ranked by the program: what was heard, this job's words, the vocabulary.
async function fitting(field, typed, number) {
  const about = number ? `&number=${number}` : "";
  return read(`/complete?field=${field}&typed=${encodeURIComponent(typed)}${about}`).catch(() => []);
}

// Gives an input a list of choices, after the combobox pattern of the ARIA Authoring Practices Guide.
// The item, where there is one yet, decides what fits.
// `taken` is called once a choice was made by digit or pointer, with true where it was made by a capital.
// Returns what shows the choices.
export function complete(input, field, number = null, taken = () => {}) {
  const figures = ["count", "measurement"].includes(field);
  const key = store.fields.find(({ name }) => name === field)?.key;
  const list = make("ul", { role: "listbox", id: `choices-${(count += 1)}`, class: figures ? "choices figures" : "choices", "aria-label": `${field} choices`, hidden: true });
  let at = -1;
  let asked = 0; // questions put to the program so far
  for (const [name, value] of [["role", "combobox"], ["aria-autocomplete", "list"], ["aria-expanded", "false"], ["aria-controls", list.id]]) input.setAttribute(name, value);
  input.after(list);
  const point = (next) => {
    at = next;
    [...list.children].forEach((option, place) => option.setAttribute("aria-selected", String(place === at)));
    const chosen = list.children[at];
    chosen?.scrollIntoView({ block: "nearest" });
    if (chosen) input.setAttribute("aria-activedescendant", chosen.id);
    else input.removeAttribute("aria-activedescendant");
  };
  const close = () => {
    asked += 1;
    list.hidden = true;
    input.setAttribute("aria-expanded", "false");
    point(-1);
  };
  const take = (choice) => {
    input.value = choice;
    close();
  };
  const open = async () => {
    const turn = (asked += 1);
    const found = await fitting(field, input.dataset.typed === "yes" ? input.value : "", number);
    // A later question is on its way, or the field was left.
    if (turn !== asked || document.activeElement !== input) return;
    // Who has pointed at a choice still means it when a later answer comes.
    const pointed = list.children[at]?.textContent;
    list.replaceChildren(
      ...found.map((choice, place) => make("li", { role: "option", id: `${list.id}-${place}`, "aria-selected": "false", "data-key": key, onpointerdown: (event) => (event.preventDefault(), take(choice), taken()) }, plain(choice))),
    );
    list.hidden = found.length === 0;
    input.setAttribute("aria-expanded", String(!list.hidden));
    point([...list.children].findIndex((option) => option.textContent === pointed));
  };
  input.addEventListener("input", () => ((input.dataset.typed = "yes"), open()));
  input.addEventListener("blur", close);
  input.addEventListener("keydown", (event) => {
    const size = list.children.length;
    // Of figures a digit is part; there the field's key takes the first that is offered.
    const place = figures ? (event.key.toLowerCase() === key ? 0 : -1) : Number(event.key) - 1;
    const digit = input.dataset.typed !== "yes" && !list.hidden && !event.ctrlKey && list.children[place];
    if (digit) {
      event.preventDefault();
      take(digit.textContent);
      taken(figures && event.key !== key);
      return;
    }
    if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      event.preventDefault();
      if (list.hidden) open();
      else if (size) point(event.key === "ArrowDown" ? (at + 1) % size : (Math.max(at, 0) + size - 1) % size);
    } else if (event.key === "Tab" && !event.shiftKey && !list.hidden && size && input.dataset.typed === "yes" && input.value) {
      event.preventDefault();
      take(list.children[Math.max(at, 0)].textContent);
    } else if (event.key === "Enter" && at >= 0) {
      take(list.children[at].textContent);
    } else if (event.key === "Escape" && !list.hidden) {
      event.stopPropagation();
      event.preventDefault();
      close();
    }
  });
  return open;
}

// Lets a click on the value turn it into an input; Enter keeps, Escape leaves it as it was.
export function editable(cell, shown, item, field) {
  shown.addEventListener("click", () => {
    // Asked for by a capital: the last thing that is wrong.
    let last = shown.dataset.last === "yes";
    delete shown.dataset.last;
    const long = field === "description" || field === "remark";
    const input = make(long ? "textarea" : "input", { class: "editing", "aria-label": field, autocomplete: "off", "data-focus": field, ...(long ? { rows: 2 } : {}) });
    input.value = text(item, field);
    const box = make("span", { class: "editor" }, input);
    let over = false;
    const leave = () => {
      if (over) return;
      over = true;
      box.replaceWith(shown);
    };
    const keep = async (entered = true) => {
      if (over) return;
      if (input.value.trim() === text(item, field)) {
        leave();
        shown.focus({ preventScroll: true });
        if (last && entered) accept(item);
        return;
      }
      over = true;
      input.readOnly = true;
      const change = { do: "edit", number: item.number, field, text: input.value };
      const kept = last && entered ? accept(item, { ...change, do: "edit-and-accept" }) : act(change);
      if (!(await kept)) {
        over = false;
        input.readOnly = false;
        input.focus();
      }
    };
    // First, so that Enter puts a choice in before it is kept, and Escape closes the choices alone.
    const offer = long ? null : complete(input, field, item.number, (too) => ((last ||= too === true), keep()));
    input.addEventListener("keydown", (event) => {
      // A letter behind a whole figure is none of it.
      const too = event.key === "a" && ["count", "measurement"].includes(field) && input.dataset.typed === "yes" && /\d\s*(mm|cm|m|in|ft)?$/.test(input.value);
      if ((event.key === "Enter" && !event.shiftKey) || too) {
        event.preventDefault();
        last ||= too;
        keep();
      } else if (event.key === "Escape" && !event.defaultPrevented) {
        leave();
        shown.focus({ preventScroll: true });
      }
      event.stopPropagation();
    });
    input.addEventListener("blur", () => box.isConnected && keep(false));
    shown.replaceWith(box);
    input.focus();
    input.select();
    offer?.();
  });
}
