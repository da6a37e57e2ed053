// Making elements and texts. Nothing here or elsewhere writes markup: text stays text.

// Makes an element: attributes by name, `on…` handlers as functions, children as nodes or texts.
export function make(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === null || value === false) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (name === "class") element.className = value;
    else if (value === true) element.setAttribute(name, "");
    else element.setAttribute(name, value);
  }
  element.append(...children.filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

export const find = (selector) => document.querySelector(selector);

// Controls that reorder a line (Unicode UAX #9) could make a sentence read as another: they are shown
// as what they are, something strange.
export const plain = (text) => String(text ?? "").replace(/[\u200e\u200f\u202a-\u202e\u2066-\u2069]/g, "\ufffd");

export const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

export function clock(ms) {
  const s = Math.floor(ms / 1000);
  const two = (n) => String(n).padStart(2, "0");
  return s >= 3600 ? `${Math.floor(s / 3600)}:${two(Math.floor(s / 60) % 60)}:${two(s % 60)}` : `${Math.floor(s / 60)}:${two(s % 60)}`;
}

export const counted = (count, noun) => `${count} ${noun}${count === 1 ? "" : "s"}`;

const STAYS_MS = 8000; // what was done need not be read for ever; what went wrong stays
let leaving = 0;

// What was done. With a button, which can be pressed as long as nothing else is done, it stays.
export function told(text, button) {
  find("#trouble").textContent = "";
  find("#told").replaceChildren(plain(text), ...(button ? [" ", button] : []));
  clearTimeout(leaving);
  if (!button) leaving = setTimeout(() => (find("#told").textContent = ""), STAYS_MS);
}

export function trouble(text) {
  find("#told").textContent = "";
  find("#trouble").textContent = plain(text);
}

// Asks something above the page. The page behind is not made inert, for which a browser looks through
// all its rows anew, twice: Tab stays within, and Escape or a press elsewhere leaves it.
export const ask = (dialog) => dialog.show();

export function startAsking() {
  const asked = [...document.querySelectorAll("dialog.over")];
  for (const dialog of asked) dialog.addEventListener("keydown", (event) => within(dialog, event));
  document.addEventListener("pointerdown", ({ target }) => asked.forEach((dialog) => dialog.open && !dialog.contains(target) && dialog.close()));
}

function within(dialog, event) {
  if (event.key === "Escape" && !event.defaultPrevented) dialog.close();
  if (event.key !== "Tab" || event.defaultPrevented) return;
  const [first, ...others] = [...dialog.querySelectorAll("button, input")].filter((part) => part.tabIndex >= 0 && !part.disabled && (part.type !== "radio" || part.checked));
  const last = others.at(-1) ?? first;
  const [from, to] = event.shiftKey ? [first, last] : [last, first];
  if (document.activeElement !== from) return;
  event.preventDefault();
  to?.focus();
}

// Gives an element these children and no others, touching none that is where it belongs: a browser lays
// out anew what was taken out and put back, hundreds of rows where one was added.
export function hold(parent, children) {
  const wanted = new Set(children);
  for (const child of [...parent.children]) if (!wanted.has(child)) child.remove();
  let next = parent.firstElementChild;
  for (const child of children) {
    if (child === next) next = next.nextElementSibling;
    else parent.insertBefore(child, next);
  }
}
