// Figures of the page on one job: first paint, actions, layout shift, weight. Ends with 1 where one is
// not as good as it should be.
import { desk, launch } from "./page.mjs";

// What the page is held to, with 500 items and 300 photos.
const MOST = { paint: 300, action: 50, shift: 0, page: 150_000 };

const browser = await launch();
const running = await desk();
// Each in a browser that knows nothing of the page yet, but runs: its own start is none of the page's.
const paints = [];
const shifts = [];
const readies = [];
let page;
for (let turn = 0; turn < 5; turn += 1) {
  await page?.context().close();
  page = await (await browser.newContext({ viewport: { width: 1400, height: 900 } })).newPage();
  await page.addInitScript(() => {
    window.shifts = [];
    new PerformanceObserver((list) => list.getEntries().forEach((entry) => !entry.hadRecentInput && window.shifts.push(entry.value))).observe({ type: "layout-shift", buffered: true });
  });
  const started = performance.now();
  await page.goto(running.address);
  await page.waitForSelector("body[data-ready]");
  readies.push(performance.now() - started);
  await page.waitForTimeout(1000);
  paints.push(await page.evaluate(() => performance.getEntriesByName("first-contentful-paint")[0].startTime));
  // Before anything is pressed: keys of this script are none of a person, which a browser leaves out.
  shifts.push(await page.evaluate(() => window.shifts.reduce((sum, value) => sum + value, 0)));
}
const middle = (list) => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)];
const [paint, ready, shift] = [middle(paints), middle(readies), Math.max(...shifts)];
const weights = await page.evaluate(() => {
  const sums = { page: performance.getEntriesByType("navigation")[0].encodedBodySize, data: 0, media: 0 };
  for (const { name, encodedBodySize } of performance.getEntriesByType("resource")) {
    const path = new URL(name).pathname;
    sums[path.startsWith("/assets/") ? "page" : /^\/(small|sound|photo)\//.test(path) ? "media" : "data"] += encodedBodySize;
  }
  return sums;
});
const items = await page.locator(".item").count();

// Does something in the page, and returns the milliseconds until the frame is painted that shows the
// outcome. `does` and `shows` are functions of the page; both are given `about`.
const timed = (does, shows, about) =>
  page.evaluate(
    ([does, shows, about]) =>
      new Promise((done) => {
        const [act, shown] = [does, shows].map((source) => (0, eval)(source));
        const begun = performance.now();
        const seen = () => (shown(about) ? setTimeout(() => done(performance.now() - begun)) : requestAnimationFrame(seen));
        act(about);
        requestAnimationFrame(seen);
      }),
    [String(does), String(shows), about],
  );
// Keys go to the element with the focus, as from a person.
const key = (key) => `() => document.activeElement.dispatchEvent(new KeyboardEvent("keydown", { key: ${JSON.stringify(key)}, bubbles: true, cancelable: true }))`;
const at = () => page.locator(".item.open").getAttribute("data-number");
const moved = (from) => page.waitForFunction((from) => document.querySelector(".item.open").dataset.number !== from, from);
// The page may be busy with what follows from the last action: a person does not press that fast.
const rest = () => page.waitForTimeout(120);

const times = {};
async function measure(name, turns, act) {
  times[name] = [];
  for (let turn = 0; turn < turns; turn += 1) {
    await rest();
    times[name].push(await act(turn));
  }
}

await page.locator(".item.open .opener").focus();
await measure("accept", 15, async () => {
  const from = await at();
  const time = await timed(key("a"), (from) => document.querySelector(`.item.confirmed[data-number="${from}"]`), from);
  await moved(from);
  return time;
});
await measure("next", 15, async () => timed(key("ArrowRight"), (from) => document.querySelector(".item.open").dataset.number !== from, await at()));
await measure("undo", 10, async () => timed(key("u"), (last) => document.querySelector(`.item.proposed[data-number="${last}"]`), await page.locator(".item.confirmed").last().getAttribute("data-number")));
await measure("edit", 10, async (turn) => {
  await page.keyboard.press("o");
  await page.locator("input.editing").fill(`above the door ${turn}`);
  return timed(key("Enter"), (text) => document.querySelector('.item.open [data-field="position"]')?.textContent === text, `above the door ${turn}`);
});
await measure("choices", 10, async () => {
  await page.keyboard.press("e");
  await page.waitForSelector("[role=listbox]:not([hidden])");
  const time = await timed(
    () => {
      const input = document.querySelector("input.editing");
      document.querySelector("[role=listbox]").replaceChildren();
      input.value = "wi";
      input.dispatchEvent(new InputEvent("input", { bubbles: true }));
    },
    () => document.querySelector("[role=listbox] li"),
  );
  await page.keyboard.press("Escape");
  await page.keyboard.press("Escape");
  return time;
});
await measure("reject", 10, async () => {
  const from = await at();
  const time = await timed(key("X"), (from) => document.querySelector(`.item.rejected[data-number="${from}"]`), from);
  await moved(from);
  return time;
});
await measure("split", 5, async () => {
  await page.keyboard.press("h");
  await page.waitForSelector("#split[open]");
  const time = await timed(
    () => {
      window.before = document.querySelectorAll(".item").length;
      document.querySelector("#split form").requestSubmit(document.querySelector("#split [type=submit]"));
    },
    () => document.querySelectorAll(".item").length === window.before + 1,
  );
  await page.keyboard.press("u");
  await page.waitForFunction(() => document.querySelectorAll(".item").length === window.before);
  return time;
});
// A job without photos has none to attach.
const shelved = await page.locator("#shelf .put").count();
await measure("attach photo", shelved ? 5 : 0, async (turn) =>
  timed(
    (turn) => document.querySelectorAll("#shelf .put:not(:disabled)")[10 + turn].click(),
    () => {
      const marks = document.querySelector(".item.open .marks").textContent;
      const before = window.marks;
      if (marks === before) return false;
      window.marks = marks;
      return /photo/.test(marks) && !/asked/.test(marks);
    },
    turn,
  ),
);
await measure("filter", 8, async (turn) =>
  timed(
    (show) => {
      const select = document.querySelector("#show");
      select.value = show;
      select.dispatchEvent(new Event("change", { bubbles: true }));
    },
    () => true,
    ["undecided", "all", "unsure", "all", "confirmed", "all", "wanted", "all"][turn],
  ),
);
await measure("search", 8, async (turn) =>
  timed(
    (text) => {
      const input = document.querySelector("#search");
      input.value = text;
      input.dispatchEvent(new InputEvent("input", { bubbles: true }));
    },
    () => true,
    ["g", "ga", "gas", "", "w", "win", "window c", ""][turn],
  ),
);

const missed = [];
const held = (name, value, most, shown) => value > most && missed.push(`${name} ${shown}, at most ${most}`);
console.log(`${items} items: first contentful paint ${paint.toFixed(0)} ms (at most ${Math.max(...paints).toFixed(0)}), ready ${ready.toFixed(0)} ms, layout shift ${shift.toFixed(4)}`);
for (const [name, list] of Object.entries(times).filter(([, list]) => list.length)) {
  console.log(`  ${name} ${middle(list).toFixed(0)} ms (${list.length} times, at most ${Math.max(...list).toFixed(0)})`);
  held(name, middle(list), MOST.action, `${middle(list).toFixed(0)} ms`);
}
console.log(`  weight: page ${(weights.page / 1000).toFixed(0)} kB, data ${(weights.data / 1000).toFixed(0)} kB, media ${(weights.media / 1000).toFixed(0)} kB`);
held("first contentful paint", paint, MOST.paint, `${paint.toFixed(0)} ms`);
held("layout shift", shift, MOST.shift, shift.toFixed(4));
held("page", weights.page, MOST.page, `${weights.page} bytes`);
await browser.close();
running.end();
if (missed.length) {
  console.log(`  NOT AS GOOD AS IT SHOULD BE: ${missed.join("; ")}`);
  process.exit(1);
}
