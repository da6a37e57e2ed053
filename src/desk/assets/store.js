// The list as the page knows it, and who wants to hear of changes.
import { make, plain, told } from "./dom.js";

export const store = {
  event: 0, // id of the last event that the page knows
  items: new Map(), // by id
  order: [], // ids
  fields: [],
  standings: [], // how the work on an item may stand, with the words for each
  recordings: [],
  progress: {},
  photos: [],
  unlisted: [], // what was said and is in no item
  open: null, // id of the open item
  offer: null, // the lesson that the last correction suggests
};

const listeners = { items: [], unlisted: [], open: [], photos: [], recordings: [], learn: [] };

export const on = (what, listener) => listeners[what].push(listener);
export const tell = (what, detail) => listeners[what].forEach((listener) => listener(detail));

export const opened = () => store.items.get(store.open);
export const inOrder = () => store.order.map((id) => store.items.get(id));
export const text = (item, field) => item.fields[field] ?? "";
// Waits for a decision, on itself or on what a later visit found.
export const undecided = (item) => item.status === "proposed" || Boolean(item.finding);
export const standing = (name) => store.standings.find((one) => one.name === name)?.words ?? name;
export const byNumber = (number) => inOrder().find((item) => item.number === number);
export const photoNamed = (name) => store.photos.find((photo) => photo.name === name);

// Takes in what changed, and says so.
export function takeUpdate(update, { elsewhere = false, silent = false, next = null } = {}) {
  store.event = update.event;
  store.progress = update.progress;
  const changed = new Set();
  for (const item of update.items) {
    store.items.set(item.id, item);
    changed.add(item.id);
  }
  if (update.order) {
    store.order = update.order;
    const there = new Set(update.order);
    for (const id of store.items.keys()) if (!there.has(id)) store.items.delete(id);
  }
  if (next && store.items.has(next)) store.open = next;
  if (!store.items.has(store.open)) store.open = null;
  tell("items", { changed, order: Boolean(update.order), elsewhere });
  if (update.unlisted) {
    store.unlisted = update.unlisted;
    tell("unlisted");
  }
  store.offer = elsewhere ? null : update.offer;
  if (!silent && update.told) told(elsewhere ? `Elsewhere: ${update.told}` : update.told, store.offer && learning(store.offer));
  if (update.problems?.length) told(update.problems.join("; "));
}

const learning = ({ words }) => make("button", { type: "button", onclick: () => tell("learn") }, `Learn: ${plain(words)}`, make("kbd", {}, "L"));

export function show(id, how = {}) {
  if (!store.items.has(id)) return;
  store.open = id;
  tell("open", how);
}
