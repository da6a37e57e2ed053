// How the corrections fall from job to job, as a row of bars. Asked for when it is opened.
import { counted, find, make, plain } from "./dom.js";
import { read } from "./net.js";
import { on } from "./store.js";

const WIDE = 22; // of a bar with its gap, in the picture's own units
const HIGH = 120;
const ROOM = 18; // above the bars, for figures

export function startGrowth() {
  const box = find("#growth");
  // Not before the list above it stands, which would push it down.
  on("items", () => (box.hidden = false));
  box.addEventListener("toggle", async () => {
    if (!box.open) return;
    const steps = await read("/growth");
    find("#growth div").replaceChildren(...(steps.length ? [picture(steps), words(steps)] : [make("p", { class: "quiet" }, "No job here has a confirmed item yet.")]));
  });
}

function svg(tag, attributes, ...children) {
  const element = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.append(...children);
  return element;
}

// The list below says the same in words.
function picture(steps) {
  const most = Math.max(...steps.map((step) => step.corrections), 0.1);
  const bars = steps.flatMap(({ corrections, here }, at) => {
    const height = Math.max((corrections / most) * (HIGH - ROOM), 1);
    const [x, y] = [at * WIDE, HIGH - height];
    return [svg("rect", { x, y, width: WIDE - 6, height, class: here ? "here" : "" }), svg("text", { x: x + WIDE / 2 - 3, y: y - 4 }, corrections.toFixed(1))];
  });
  const all = svg("svg", { viewBox: `0 0 ${steps.length * WIDE} ${HIGH + 1}`, "aria-hidden": "true" }, ...bars);
  all.style.maxWidth = `${steps.length * WIDE * 1.4}px`;
  return all;
}

function words(steps) {
  const line = ({ title, items, corrections, here }) => make("li", here ? { "aria-current": "true" } : {}, make("strong", {}, corrections.toFixed(2)), ` ${plain(title)}`, make("span", { class: "aside" }, `, ${counted(items, "item")}${here ? ", this job so far" : ""}`));
  return make("ol", {}, ...steps.map(line));
}
