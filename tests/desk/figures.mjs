// Figures of the page on one job: first paint, actions, layout shift, weight.
import { desk, launch } from "./page.mjs";

const browser = await launch();
const running = await desk();
const started = performance.now();
const context = await browser.newContext({ viewport: { width: 1400, height: 900 } });
const page = await context.newPage();
await page.addInitScript(() => {
  window.shifts = [];
  new PerformanceObserver((list) => list.getEntries().forEach((entry) => !entry.hadRecentInput && window.shifts.push(entry.value))).observe({ type: "layout-shift", buffered: true });
});
await page.goto(running.address);
await page.waitForSelector("body[data-ready]");
const ready = performance.now() - started;
await page.waitForTimeout(1500);
const paint = await page.evaluate(() => performance.getEntriesByName("first-contentful-paint")[0].startTime);
// Before anything is pressed: keys of this script are none of a person, which a browser leaves out.
const shift = await page.evaluate(() => window.shifts.reduce((sum, value) => sum + value, 0));
const weights = await page.evaluate(() => {
  const sums = { page: performance.getEntriesByType("navigation")[0].encodedBodySize, data: 0, media: 0 };
  for (const { name, encodedBodySize } of performance.getEntriesByType("resource")) {
    const path = new URL(name).pathname;
    sums[path.startsWith("/assets/") ? "page" : /^\/(small|sound|photo)\//.test(path) ? "media" : "data"] += encodedBodySize;
  }
  return sums;
});
const items = await page.locator(".item").count();

// From the key to the frame that shows the outcome; keys go to the focused element, as from a person.
await page.locator(".item.open .opener").focus();
const press = (key, outcome) =>
  page.evaluate(
    ([key, outcome]) =>
      new Promise((done) => {
        const begun = performance.now();
        const seen = () => (document.querySelector(outcome) ? setTimeout(() => done(performance.now() - begun)) : requestAnimationFrame(seen));
        document.activeElement.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true }));
        requestAnimationFrame(seen);
      }),
    [key, outcome],
  );
const times = { accept: [], next: [], undo: [] };
for (let number = 1; number <= 20; number += 1) {
  const at = await page.locator(".item.open").getAttribute("data-number");
  times.accept.push(await press("a", `.item.confirmed[data-number="${at}"]`));
  await page.waitForFunction((at) => document.querySelector(".item.open").dataset.number !== at, at);
}
for (let number = 0; number < 20; number += 1) {
  const at = await page.locator(".item.open").getAttribute("data-number");
  times.next.push(await press("ArrowRight", `.item.open:not([data-number="${at}"])`));
}
for (let number = 0; number < 10; number += 1) {
  const before = await page.locator(".item.confirmed").last().getAttribute("data-number");
  times.undo.push(await press("u", `.item.proposed[data-number="${before}"]`));
}
const shown = (list) => {
  const sorted = [...list].sort((a, b) => a - b);
  return `${sorted[Math.floor(sorted.length / 2)].toFixed(0)} ms (at most ${sorted.at(-1).toFixed(0)})`;
};
console.log(`${items} items: first contentful paint ${paint.toFixed(0)} ms, ready ${ready.toFixed(0)} ms, layout shift ${shift.toFixed(4)}`);
console.log(`  accept ${shown(times.accept)}, next ${shown(times.next)}, undo ${shown(times.undo)}`);
console.log(`  weight: page ${(weights.page / 1000).toFixed(0)} kB, data ${(weights.data / 1000).toFixed(0)} kB, media ${(weights.media / 1000).toFixed(0)} kB`);
await browser.close();
running.end();
