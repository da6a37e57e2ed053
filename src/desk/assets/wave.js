// The recording's outline: near the moment with the items' numbers, and the whole of it below.
import { clock, find } from "./dom.js";
import { inOrder, show, store } from "./store.js";
import { at, current, duration, playFrom, playing, playItem, seek } from "./sound.js";

const PER_SECOND = 20; // values of the outline a second
const NEAR_S = 40; // seconds shown near
const STEP_S = 5; // an arrow key on the whole recording
const near = find("#near");
const far = find("#far");
const whole = far.querySelector("canvas");
let outline = new Uint8Array();
let from = 0; // first millisecond shown near
let colours = {};
let pending = false;

export function startWave() {
  const again = () => (readColours(), drawAll());
  new ResizeObserver(again).observe(find("#strip"));
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", again);
  near.addEventListener("click", (event) => {
    const ms = from + (event.offsetX / near.clientWidth) * NEAR_S * 1000;
    const item = itemAt(ms);
    if (item) {
      show(item.id, { focus: false });
      playItem(item);
    } else playFrom(ms);
  });
  far.addEventListener("click", (event) => seekOrPlay((event.offsetX / far.clientWidth) * duration()));
  far.addEventListener("keydown", (event) => {
    const by = { ArrowLeft: -STEP_S, ArrowRight: STEP_S, PageDown: -60, PageUp: 60 }[event.key];
    if (by) seek(at() + by * 1000);
    else if (event.key === "Home") seek(0);
    else if (event.key === "End") seek(duration() - 1000);
    else if (event.key === "Enter" || event.key === " ") find("#play").click();
    else return;
    event.preventDefault();
  });
  readColours();
}

const seekOrPlay = (ms) => (playing() ? playFrom(ms) : seek(ms));
const placed = () => inOrder().filter((item) => item.span && item.recording === current()?.id);
const itemAt = (ms) => placed().find((item) => ms >= item.span[0] && ms < item.span[1]);

function readColours() {
  const style = getComputedStyle(document.documentElement);
  for (const name of ["ink", "soft", "rule", "link", "wait", "alert", "paper"]) colours[name] = style.getPropertyValue(`--${name}`).trim();
}

export function setOutline(values) {
  outline = values;
  drawAll();
}

// Brings a moment into the near view.
export function follow(ms) {
  if (ms < from || ms > from + NEAR_S * 900) from = Math.max(0, ms - NEAR_S * 150);
  drawAll();
}

export function drawTick() {
  const ms = at();
  if (ms < from || ms > from + NEAR_S * 1000) from = Math.max(0, ms - NEAR_S * 100);
  far.setAttribute("aria-valuemax", Math.round(duration() / 1000));
  far.setAttribute("aria-valuenow", Math.round(ms / 1000));
  far.setAttribute("aria-valuetext", clock(ms));
  drawAll();
}

// Draws at most once a frame.
export function drawAll() {
  if (pending) return;
  pending = true;
  requestAnimationFrame(() => {
    pending = false;
    drawNear();
    drawFar();
  });
}

function prepared(canvas) {
  const scale = devicePixelRatio || 1;
  const [width, height] = [canvas.clientWidth, canvas.clientHeight];
  const size = [Math.round(width * scale), Math.round(height * scale)];
  if (canvas.width !== size[0] || canvas.height !== size[1]) [canvas.width, canvas.height] = size;
  const pen = canvas.getContext("2d");
  pen.setTransform(scale, 0, 0, scale, 0, 0);
  pen.clearRect(0, 0, width, height);
  return { pen, width, height };
}

// Loudness as height: the square root lifts quiet speech so that it is seen.
const height = (value) => Math.sqrt(value / 255);

function loudest(first, last) {
  let most = 0;
  for (let place = Math.max(0, Math.floor(first)); place < last && place < outline.length; place += 1) most = Math.max(most, outline[place]);
  return most;
}

function colourOf(item) {
  if (item.id === store.open) return colours.link;
  return { proposed: colours.wait, confirmed: colours.ink, rejected: colours.rule }[item.status];
}

function drawNear() {
  const { pen, width, height: tall } = prepared(near);
  if (!width) return;
  const label = 15;
  const middle = label + (tall - label) / 2;
  const x = (ms) => ((ms - from) / (NEAR_S * 1000)) * width;
  for (const item of placed()) {
    const [left, right] = item.span.map(x);
    if (right < 0 || left > width) continue;
    pen.fillStyle = colourOf(item);
    pen.globalAlpha = item.id === store.open ? 0.22 : 0.1;
    pen.fillRect(left, label, Math.max(2, right - left), tall - label);
    pen.globalAlpha = 1;
    pen.fillRect(left, label - 2, Math.max(2, right - left), 2);
    pen.font = `${item.id === store.open ? 700 : 400} 11px system-ui, sans-serif`;
    pen.fillText(String(item.number), Math.max(0, left), label - 5);
  }
  const step = 3;
  pen.fillStyle = colours.soft;
  for (let left = 0; left < width; left += step) {
    const ms = from + (left / width) * NEAR_S * 1000;
    const next = ms + (step / width) * NEAR_S * 1000;
    const reach = height(loudest((ms / 1000) * PER_SECOND, Math.max((next / 1000) * PER_SECOND, (ms / 1000) * PER_SECOND + 1))) * (tall - label) * 0.5;
    pen.fillRect(left, middle - Math.max(0.5, reach), 2, Math.max(1, 2 * reach));
  }
  pen.fillStyle = colours.alert;
  const now = x(at());
  if (now >= 0 && now <= width) pen.fillRect(now, 0, 1.5, tall);
}

// The whole outline as a height for each column. Worked out anew only for another outline or width:
// hours of sound are half a million values.
let columns = { of: null };
function reaches(width, length) {
  if (columns.of !== outline || columns.width !== width || columns.length !== length) {
    const each = outline.length / ((outline.length / PER_SECOND / (length / 1000)) * width || 1);
    const heights = Array.from({ length: Math.ceil(width) }, (_, left) => height(loudest(left * each, (left + 1) * each)));
    columns = { of: outline, width, length, heights };
  }
  return columns.heights;
}

function drawFar() {
  const { pen, width, height: tall } = prepared(whole);
  const length = duration();
  if (!width || !length) return;
  const x = (ms) => (ms / length) * width;
  pen.fillStyle = colours.rule;
  reaches(width, length).forEach((reach, left) => pen.fillRect(left, tall - reach * (tall - 8), 1, reach * (tall - 8)));
  for (const item of placed()) {
    pen.fillStyle = colourOf(item);
    pen.fillRect(x(item.span[0]), 0, item.id === store.open ? 3 : 1.5, item.id === store.open ? tall : 7);
  }
  pen.strokeStyle = colours.soft;
  pen.strokeRect(x(from) + 0.5, 0.5, Math.max(3, x(NEAR_S * 1000)), tall - 1);
  pen.fillStyle = colours.alert;
  pen.fillRect(x(at()), 0, 1.5, tall);
}
