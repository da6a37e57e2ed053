// The recording: playing an item's moment, and telling the outline and the words where it is.
import { clock, find, make, plain, trouble } from "./dom.js";
import { ask, read } from "./net.js";
import { on, store, tell } from "./store.js";
import { drawAll, drawTick, follow, setOutline, startWave } from "./wave.js";
import { followWords, showWords } from "./words.js";

const BEFORE_S = 1; // an item's moment is heard from a second before it
const AFTER_S = 0.6; // and a breath longer
const audio = find("#audio");
const sound = { id: null, stopAt: Infinity, wanted: 0 };

export const at = () => audio.currentTime * 1000;
export const duration = () => (Number.isFinite(audio.duration) ? audio.duration : (current()?.duration_s ?? 0)) * 1000;
export const current = () => store.recordings.find((recording) => recording.id === sound.id);
export const playing = () => !audio.paused;

export function startSound() {
  startWave();
  const select = find("#recording");
  select.append(...store.recordings.map((recording) => make("option", { value: recording.id }, plain(recording.file))));
  find("#which").hidden = store.recordings.length < 2;
  select.addEventListener("change", () => use(Number(select.value)));
  find("#play").addEventListener("click", () => {
    sound.stopAt = Infinity;
    if (playing()) audio.pause();
    else start();
  });
  audio.addEventListener("play", () => (state(), tick()));
  audio.addEventListener("pause", state);
  audio.addEventListener("seeked", moved);
  audio.addEventListener("loadedmetadata", () => {
    if (sound.wanted) audio.currentTime = sound.wanted;
    sound.wanted = 0;
    moved();
  });
  audio.addEventListener("error", () => audio.getAttribute("src") && trouble("the browser cannot play this recording"));
  on("recordings", () => {
    const first = store.recordings.find((recording) => recording.id === store.items.get(store.open)?.recording) ?? store.recordings[0];
    if (first) use(sound.id ?? first.id);
    else say("The job has no recording.");
  });
  on("open", () => {
    const item = store.items.get(store.open);
    if (!item) return;
    if (item.recording !== sound.id && store.recordings.some((recording) => recording.id === item.recording)) use(item.recording);
    if (!playing() && item.span) seek(item.span[0] - BEFORE_S * 1000);
    drawAll();
  });
  on("items", drawAll);
}

// Turns to a recording: its sound, its outline, its words.
function use(id) {
  if (sound.id === id && audio.getAttribute("src")) return;
  sound.id = id;
  find("#recording").value = id;
  audio.pause();
  audio.removeAttribute("src");
  const recording = current();
  const none = {
    transcript: "This walk-round was taken from a transcript: there is no sound to play.",
    missing: `${plain(recording.file)} is not in the job's recordings folder: put it back there to hear it.`,
    preparing: `${plain(recording.file)} is being made ready to play here …`,
    unreadable: `${plain(recording.file)} cannot be played: ${plain(recording.why ?? "")}`,
  }[recording.sound];
  say(none ?? (recording.decoded ? "Browsers do not play this kind of recording, so what you hear was decoded from it." : ""), Boolean(none));
  find("#play").disabled = Boolean(none);
  find("#strip").dataset.sound = recording.sound;
  find("#end").textContent = clock(recording.duration_s * 1000);
  if (recording.sound === "ready") audio.src = `/sound/${id}`;
  if (recording.sound === "preparing") later(id);
  setOutline(new Uint8Array());
  if (recording.sound === "ready" || recording.sound === "preparing") outline(id);
  showWords(id);
}

export const turnTo = (id) => use(id);

function say(text, instead = false) {
  find("#no-sound").hidden = !text;
  find("#no-sound").textContent = text;
  find("#strip").classList.toggle("silent", instead);
}

// Looks again until the recording can be played.
async function later(id) {
  await new Promise((again) => setTimeout(again, 500));
  store.recordings = await read("/recordings").catch(() => store.recordings);
  if (sound.id === id) current().sound === "preparing" ? later(id) : use(id);
}

// Reads the outline; while it is still being made, again and again.
async function outline(id) {
  const answer = await ask(`/outline/${id}`).catch(() => null);
  if (!answer || sound.id !== id) return;
  setOutline(new Uint8Array(await answer.arrayBuffer()));
  if (answer.headers.get("x-whole") !== "yes") setTimeout(() => sound.id === id && outline(id), 1000);
}

export function seek(ms) {
  const s = Math.max(0, ms / 1000);
  if (audio.readyState >= 1) audio.currentTime = s;
  else sound.wanted = s;
  follow(s * 1000);
}

function start() {
  audio.play().catch((error) => error.name !== "AbortError" && trouble(`the browser does not play it: ${error.message}`));
}

// Plays from a moment on.
export function playFrom(ms, until = Infinity) {
  if (current()?.sound !== "ready") return;
  sound.stopAt = until;
  seek(ms);
  start();
}

// Plays an item's moment with a second before.
export function playItem(item) {
  if (!item.span) return;
  if (item.recording !== sound.id) use(item.recording);
  playFrom(item.span[0] - BEFORE_S * 1000, item.span[1] + AFTER_S * 1000);
}

// Pauses; returns false where nothing was playing.
export function toggle() {
  if (!playing()) return false;
  audio.pause();
  return true;
}

function state() {
  find("#play").setAttribute("aria-label", playing() ? "Pause" : "Play");
  find("#strip").classList.toggle("playing", playing());
  drawTick();
}

function moved() {
  find("#now").textContent = clock(at());
  find("#end").textContent = clock(duration());
  drawTick();
  followWords(at(), playing());
}

// While it plays: the outline and the words go along.
function tick() {
  if (!playing()) return;
  if (at() >= sound.stopAt) {
    sound.stopAt = Infinity;
    audio.pause();
  }
  moved();
  requestAnimationFrame(tick);
}
