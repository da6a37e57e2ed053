// Photos: a shelf by place and time, and putting them to items by dragging, by button or by key.
import { capital, clock, counted, find, hold, make, plain, told, trouble } from "./dom.js";
import { act, ask, read } from "./net.js";
import { inOrder, on, opened, photoNamed, store, tell, text } from "./store.js";

const KIND = "application/x-callover-photo";
const pictures = new Map(); // picture elements by id: a picture is loaded once
const tiles = new Map(); // tiles by id, each with what it says
const sections = new Map(); // by place

export function startPhotos() {
  on("photos", arrange);
  on("items", arrange);
  on("open", name);
  find("#photo-files").addEventListener("change", async (event) => {
    await upload([...event.target.files], null);
    event.target.value = "";
  });
  refresh();
}

async function refresh() {
  store.photos = await read("/photos").catch(() => []);
  tell("photos");
}

function picture(photo) {
  if (!photo.shown) return make("span", { class: "unshown" }, "not shown by browsers");
  if (!pictures.has(photo.id)) pictures.set(photo.id, make("img", { src: `/small/${photo.id}`, alt: "", loading: "lazy", decoding: "async", width: 120, height: 90, draggable: "false" }));
  return pictures.get(photo.id);
}

// The items of each photo.
function holders() {
  const found = new Map();
  for (const item of inOrder()) for (const name of item.photos ?? []) found.set(name, [...(found.get(name) ?? []), item]);
  return found;
}

// Where photos stand: with their place, in the order of the walk, then those that belong nowhere yet.
function groups(items) {
  const byPlace = new Map();
  for (const photo of store.photos) {
    const item = items.get(photo.name)?.[0];
    const place = item ? text(item, "place") : (placeAt(photo) ?? "");
    if (!byPlace.has(place)) byPlace.set(place, []);
    byPlace.get(place).push(photo);
  }
  const walked = (store.places ?? []).map((place) => place.name);
  const rank = (place) => (place === "" ? Infinity : walked.includes(place) ? walked.indexOf(place) : walked.length);
  return [...byPlace].sort(([a], [b]) => rank(a) - rank(b));
}

// The place where the walk was when a photo was taken.
function placeAt({ recording, at_ms }) {
  if (at_ms === undefined) return null;
  // Between two stays the earlier one goes on until a word is said at the next.
  let [latest, name] = [-1, null];
  for (const place of store.places ?? []) {
    for (const { recording: where, span } of place.visits) if (where === recording && span && span.start <= at_ms && span.start > latest) [latest, name] = [span.start, place.name];
  }
  return name;
}

function arrange() {
  const items = holders();
  const focused = document.activeElement?.dataset?.focus;
  find("#photo-count").textContent = store.photos.length ? counted(store.photos.length, "photo") : "";
  const empty = make("p", { class: "quiet" }, "No photos yet. Drop some on an item, or add them here.");
  const shown = groups(items).map(([place, photos]) => section(place, photos, items));
  hold(find("#shelf"), shown.length ? shown : [empty]);
  name();
  const lost = focused?.startsWith("photo-") && document.activeElement?.dataset?.focus !== focused;
  if (lost) find(`[data-focus="${focused}"]`)?.focus({ preventScroll: true });
}

function section(place, photos, items) {
  if (!sections.has(place)) {
    const words = place ? plain(place) : "Without a place";
    sections.set(place, make("section", { "aria-label": words }, make("h3", {}, capital(words), " ", make("span", { class: "aside" })), make("ul", {})));
  }
  const shown = sections.get(place);
  shown.querySelector(".aside").textContent = photos.length;
  hold(shown.querySelector("ul"), photos.map((photo) => tile(photo, items.get(photo.name) ?? [])));
  return shown;
}

function tile(photo, items) {
  const when = photo.at_ms === undefined ? (photo.taken ?? "").slice(11, 16) : clock(photo.at_ms);
  const guessed = photo.certainty === "guess" ? " (a guess)" : "";
  const where = items.length ? `item ${items.map((item) => item.number).join(", ")}${guessed}` : "loose";
  const says = [when, where].filter(Boolean).join(", ");
  const known = tiles.get(photo.id);
  if (known?.says === says) return known.tile;
  const made = make(
    "li",
    { class: `tile${items.length ? "" : " loose"}`, draggable: "true", "data-photo": photo.name, ondragstart: (event) => event.dataTransfer.setData(KIND, photo.name) },
    make("button", { type: "button", class: "look", "data-focus": `photo-look-${photo.id}`, "aria-label": `Look at ${plain(photo.name)}`, onclick: () => look(photo) }, picture(photo)),
    make("span", { class: "caption" }, says),
    make("button", { type: "button", class: "put", "data-focus": `photo-put-${photo.id}`, "data-photo": photo.name, onclick: () => put(photo) }, ""),
  );
  tiles.set(photo.id, { says, tile: made });
  return made;
}

// The tiles' buttons put a photo to the open item or take it off. They do not name it: to write its number
// into hundreds of them costs more than all else that opening an item does.
function name() {
  const item = opened();
  const none = !item || item.status === "rejected";
  const there = new Set(item?.photos);
  for (const button of document.querySelectorAll("#shelf .put")) {
    const words = there.has(button.dataset.photo) ? "off the open item" : "to the open item";
    if (button.disabled !== none) button.disabled = none;
    if (button.textContent === words) continue;
    button.textContent = words;
    button.setAttribute("aria-label", `${words}: ${plain(button.dataset.photo)}`);
  }
}

function put(photo) {
  const item = opened();
  if (!item) return;
  act({ do: item.photos?.includes(photo.name) ? "detach-photo" : "attach-photo", number: item.number, photo: photo.name });
}

function look(photo) {
  if (!photo.shown) return trouble(`${photo.name} is of a kind that browsers do not show; it is kept as it is`);
  find("#large-title").textContent = plain(photo.name);
  const large = find("#large-picture");
  large.src = `/photo/${photo.id}`;
  large.alt = `Photo ${photo.name}`;
  find("#large").showModal();
}

// The photos of the open item.
export function attached(item) {
  if (!item.photos?.length) return null;
  return make(
    "ul",
    { class: "attached", "aria-label": "Photos of this item" },
    ...item.photos.map((file) => {
      const photo = photoNamed(file);
      const shown = photo?.shown ? make("img", { src: `/small/${photo.id}`, alt: "", width: 120, height: 90 }) : make("span", { class: "unshown" }, photo ? "not shown by browsers" : "file is missing");
      return make(
        "li",
        { class: "photo" },
        make("button", { type: "button", class: "look", "aria-label": `Look at ${plain(file)}`, disabled: !photo, onclick: () => look(photo) }, shown),
        make("button", { type: "button", class: "put", "aria-label": `Take ${plain(file)} off item ${item.number}`, onclick: () => act({ do: "detach-photo", number: item.number, photo: file }) }, "take off"),
      );
    }),
  );
}

// Lets a row of the list take photos from the shelf, or picture files from outside the browser.
export function acceptsPhotos(row, item) {
  const takes = (event) => event.dataTransfer.types.includes(KIND) || event.dataTransfer.types.includes("Files");
  row.addEventListener("dragover", (event) => takes(event) && (event.preventDefault(), row.classList.add("target")));
  row.addEventListener("dragleave", (event) => row.contains(event.relatedTarget) || row.classList.remove("target"));
  row.addEventListener("drop", (event) => {
    row.classList.remove("target");
    if (!takes(event)) return;
    event.preventDefault();
    const photo = event.dataTransfer.getData(KIND);
    if (photo) act({ do: "attach-photo", number: item().number, photo });
    else upload([...event.dataTransfer.files], item());
  });
}

// Hands over picture files, and puts them to an item where one is given.
async function upload(files, item) {
  let taken = 0;
  for (const file of files) {
    try {
      const answer = await ask(`/photos?name=${encodeURIComponent(file.name)}`, { body: file });
      const photo = await answer.json();
      taken += 1;
      store.photos.push(photo);
      if (item) await act({ do: "attach-photo", number: item.number, photo: photo.name });
    } catch (error) {
      trouble(`${file.name}: ${error.message}`);
    }
  }
  await refresh();
  if (taken && !item) told(`${counted(taken, "photo")} added`);
}
