// The list: a ledger, place by place, in which the open item unfolds.
import { capital, clock, counted, find, hold, make, plain } from "./dom.js";
import { on, show, standing, store, text, inOrder } from "./store.js";
import { card } from "./card.js";
import { visible, grouped } from "./filter.js";
import { playItem } from "./sound.js";
import { acceptsPhotos } from "./photos.js";

const rows = new Map(); // element by id
const sections = new Map(); // element by place
const signs = { safety: "▲", repair: "■", finish: "◐", clean: "○", watch: "◉" };
// Longer sentences are hard to read in bold, as in the documents.
const LONGEST_BOLD = 160;
const states = { proposed: "undecided", confirmed: "confirmed", rejected: "rejected" };

export function startLedger() {
  on("items", ({ changed, order }) => {
    const moved = order || [...changed].some((id) => placeShown(id) !== rows.get(id)?.dataset.place);
    for (const id of changed) fill(id);
    if (moved) arrange();
    else refilter(new Set([...changed].map((id) => rows.get(id)?.closest("section")).filter(Boolean)));
    progress();
  });
  on("open", ({ before, quiet, focus = true } = {}) => {
    const last = find(".item.open");
    if (last && last.dataset.id !== store.open) fill(last.dataset.id);
    if (!store.open) return;
    fill(store.open);
    const row = rows.get(store.open);
    if (row.hidden) row.hidden = row.closest("section").hidden = false;
    if (quiet) return;
    const bring = () => row.scrollIntoView({ block: row.offsetHeight > innerHeight / 2 ? "start" : "nearest" });
    // After all others have shown it, so that the page is laid out once.
    queueMicrotask(() => {
      bring();
      // Rows that come into view on the way have other heights than was reckoned.
      requestAnimationFrame(bring);
      if (focus && row.classList.contains("open")) row.querySelector(".opener").focus({ preventScroll: true });
    });
  });
}

const placeShown = (id) => (store.items.has(id) ? text(store.items.get(id), "place") : undefined);

// Makes an item's row anew; the focus stays where it was.
function fill(id) {
  const item = store.items.get(id);
  const row = rows.get(id) ?? newRow(id);
  if (!item) return;
  const focused = row.contains(document.activeElement) ? document.activeElement.dataset.focus : undefined;
  const isOpen = store.open === id;
  row.className = `item ${item.status}${isOpen ? " open" : ""}`;
  row.dataset.place = text(item, "place");
  row.dataset.number = item.number;
  row.replaceChildren(...line(item, isOpen), ...(isOpen ? [card(item)] : []));
  if (focused) (row.querySelector(`[data-focus="${focused}"]`) ?? row.querySelector(".opener")).focus({ preventScroll: true });
}

function newRow(id) {
  const row = make("li", { "data-id": id });
  acceptsPhotos(row, () => store.items.get(id));
  rows.set(id, row);
  return row;
}

function line(item, isOpen) {
  const severity = text(item, "severity");
  const sentence = text(item, "description");
  const marks = [
    make("span", { class: `severity ${severity}` }, make("span", { "aria-hidden": "true" }, signs[severity] ?? ""), ` ${severity}`),
    make("span", { class: `state ${item.status}` }, states[item.status] + (item.reason ? `: ${plain(item.reason)}` : "")),
  ];
  if (item.finding) marks.push(make("span", { class: "doubt" }, `visit ${item.finding.seen.visit}: ${standing(item.finding.seen.standing)}?`));
  else if (item.standing) marks.push(make("span", {}, standing(item.standing)));
  if (item.status === "proposed" && item.quote) marks.push(make("span", { class: `sure ${item.confidence < 0.8 ? "doubt" : ""}` }, item.sureness));
  if ((item.limits ?? []).some((limit) => limit.verdict === "outside")) marks.push(make("span", { class: "limit" }, "outside limit"));
  if (item.photos?.length) marks.push(make("span", {}, counted(item.photos.length, "photo")));
  else if (item.photo_wanted) marks.push(make("span", { class: "doubt" }, "photo asked for"));
  const play =
    item.span && make("button", { type: "button", class: "play", "data-focus": "play", "aria-label": `Play item ${item.number} at ${clock(item.span[0])}`, onclick: () => playItem(item) }, make("span", { "aria-hidden": "true" }, "▶ "), clock(item.span[0]));
  return [
    make("span", { class: "number", "aria-hidden": "true" }, item.number),
    make(
      "h3",
      {},
      make(
        "button",
        { type: "button", class: sentence.length > LONGEST_BOLD ? "opener long" : "opener", "data-focus": "opener", "aria-expanded": String(isOpen), onclick: () => choose(item.id) },
        make("span", { class: "unseen" }, `Item ${item.number}: `),
        plain(sentence),
      ),
    ),
    make("p", { class: "marks" }, ...marks, play),
  ];
}

// Opens an item by hand; its moment is played.
function choose(id) {
  show(id);
  playItem(store.items.get(id));
}

// Puts the rows under their places.
export function arrange() {
  const list = find("#ledger");
  const focused = document.activeElement;
  hold(list, grouped(inOrder()).map(([name, items]) => section(name, items)));
  for (const id of rows.keys()) if (!store.items.has(id)) rows.delete(id);
  if (focused && list.contains(focused)) focused.focus({ preventScroll: true });
  refilter();
}

// The section of a place, or of no place in particular, with its items.
function section(name, items) {
  if (!sections.has(name)) {
    const heading = name === null ? [] : [make("h2", {}, capital(plain(name)), " ", make("span", { class: "aside" }))];
    sections.set(name, make("section", { "aria-label": name === null ? "Items" : plain(name) }, ...heading, make("ol", {})));
  }
  const shown = sections.get(name);
  if (name !== null) shown.querySelector("h2 .aside").textContent = counted(items.length, "item");
  hold(shown.querySelector("ol"), items.map((item) => rows.get(item.id) ?? newRow(item.id)));
  return shown;
}

// Shows what the filters let through: everywhere, or in the sections that changed.
export function refilter(changed = null) {
  const list = find("#ledger");
  for (const section of changed ?? list.querySelectorAll("section")) {
    let some = 0;
    for (const row of section.querySelectorAll(".item")) {
      const item = store.items.get(row.dataset.id);
      const shown = visible(item) || (item.id === store.open && !item.filtered);
      if (row.hidden === shown) row.hidden = !shown;
      if (shown) some += 1;
    }
    section.hidden = some === 0;
  }
  const any = list.querySelector("section:not([hidden])") !== null;
  const empty = find("#empty");
  empty.hidden = any;
  if (!any) empty.textContent = store.order.length ? "No item fits; change the search or the choices above." : "The list has no items yet: New item writes one by hand.";
}

// Ids in the order in which they are shown.
export function shownIds() {
  return [...find("#ledger").querySelectorAll(".item:not([hidden])")].map((row) => row.dataset.id);
}

// How far the pass is, and how long the rest takes at the pace so far.
function progress() {
  const { total, confirmed, rejected, findings, pace_s, undoable, redoable } = store.progress;
  const left = total - confirmed - rejected + findings;
  const parts = [`${confirmed} of ${total} confirmed`];
  if (rejected) parts.push(`${rejected} rejected`);
  if (findings) parts.push(`${counted(findings, "finding")} to decide`);
  if (left === 0 && total > 0) parts.push("every item is decided");
  else if (pace_s) parts.push(`about ${counted(Math.max(1, Math.round((left * pace_s) / 60)), "minute")} at your pace`);
  else parts.push(`${left} to go`);
  find("#progress").textContent = parts.join(", ");
  find("#bar .confirmed").style.width = `${(100 * confirmed) / Math.max(1, total)}%`;
  find("#bar .rejected").style.width = `${(100 * rejected) / Math.max(1, total)}%`;
  find("#undo").disabled = !undoable;
  find("#redo").disabled = !redoable;
}
