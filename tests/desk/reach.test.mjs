// The page for everybody: keyboard alone, a narrow phone, hostile text, and what axe-core finds.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { mkdirSync } from "node:fs";
import AxeBuilder from "@axe-core/playwright";
import { desk, launch, open, row, terminal } from "./page.mjs";

let browser;
before(async () => (browser = await launch()));
after(() => browser.close());
const { HOSTILE, PICTURES } = process.env;

async function withPage(work, options) {
  const running = await desk();
  try {
    const page = await open(browser, running.address, options);
    await work(page, running);
    assert.deepEqual(page.trouble, []);
    await page.context().close();
  } finally {
    running.end();
  }
}

// Keeps a picture where somebody wants to look at it.
async function picture(page, name) {
  if (!PICTURES) return;
  mkdirSync(PICTURES, { recursive: true });
  await page.waitForTimeout(300);
  await page.screenshot({ path: `${PICTURES}/${name}.png` });
}

test("an item is reached, decided, changed and given a photo with the keyboard alone", () =>
  withPage(async (page) => {
    await page.evaluate(() => document.activeElement.blur());
    await page.keyboard.press("Tab");
    assert.equal(await page.evaluate(() => document.activeElement.textContent), "To the list");
    await page.keyboard.press("Enter");
    await page.keyboard.press("ArrowRight");
    await page.waitForSelector('.item.open[data-number="2"]');
    assert.equal(await page.evaluate(() => document.activeElement.closest(".item").dataset.number), "2");
    await page.keyboard.press("e");
    await page.keyboard.type("window board");
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => document.querySelector("#told").textContent.includes("window board"));
    // The focus is where it was: nobody is thrown out of the list.
    assert.equal(await page.evaluate(() => document.activeElement.closest(".item")?.dataset.number), "2");
    await page.locator("#shelf .put").first().waitFor();
    await page.keyboard.press("+");
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => document.querySelector('.item[data-number="2"] .photo'));
    await page.keyboard.press("a");
    await page.waitForSelector('.item.confirmed[data-number="2"]');
    // The recording's position is a slider.
    await page.locator("#far").focus();
    const before = await page.locator("#far").getAttribute("aria-valuenow");
    await page.keyboard.press("ArrowRight");
    await page.waitForFunction((old) => document.querySelector("#far").getAttribute("aria-valuenow") !== old, before);
    // Words can be made an item without a mouse.
    await page.locator("#paragraphs p").first().focus();
    await page.keyboard.press("ArrowDown");
    await page.keyboard.press("n");
    await page.locator("#new-quote").waitFor();
    await page.keyboard.press("Escape");
    // Single keys can be switched off.
    await page.keyboard.press("?");
    await page.locator("#keys-on").uncheck();
    await page.keyboard.press("Escape");
    const confirmed = await page.locator(".item.confirmed").count();
    await page.keyboard.press("a");
    await page.waitForTimeout(300);
    assert.equal(await page.locator(".item.confirmed").count(), confirmed);
  }));

test("everything fits a phone 380 points wide", () =>
  withPage(
    async (page) => {
      const wide = () => page.evaluate(() => document.documentElement.scrollWidth);
      assert.ok((await wide()) <= 380, `${await wide()} wide`);
      await picture(page, "phone-list");
      await row(page, 1).getByRole("button", { name: "Accept" }).click();
      await page.waitForSelector('.item.confirmed[data-number="1"]');
      for (const view of ["Words", "Photos"]) {
        await page.getByRole("button", { name: view, exact: true }).click();
        assert.ok((await wide()) <= 380, `${await wide()} wide at ${view}`);
        const title = await page.locator("#title").boundingBox();
        assert.ok(title.width > 300, `the head is ${title.width} wide at ${view}`);
        await picture(page, `phone-${view.toLowerCase()}`);
      }
      // Targets are at least 24 points high (WCAG 2.2, 2.5.8).
      await page.getByRole("button", { name: "List", exact: true }).click();
      const small = await page.evaluate(() =>
        [...document.querySelectorAll("button")].filter((button) => button.offsetParent && !button.closest(".unseen") && button.getBoundingClientRect().height < 24).map((button) => button.textContent),
      );
      assert.deepEqual(small, []);
    },
    { viewport: { width: 380, height: 760 }, hasTouch: true, isMobile: true },
  ));

test("hostile text stays text", () =>
  withPage(async (page, running) => {
    await terminal(running.job, `g 1\ne element=${HOSTILE}\ne remark=${HOSTILE}\ne place=${HOSTILE}\nq\n`);
    await page.waitForFunction(() => document.querySelector('.item[data-number="1"]').textContent.includes("onerror"));
    await row(page, 1).locator(".opener").click();
    const shown = await row(page, 1).textContent();
    assert.ok(shown.includes("<img src=x onerror="));
    assert.ok(shown.includes("\ufffddrawkcab") && !shown.includes("\u202e"));
    assert.equal(await page.title(), "Plot seven: callover desk");
    assert.equal(await page.locator("main img[src=x], main script").count(), 0);
    const refused = await page.evaluate(() => {
      try {
        document.body.insertAdjacentHTML("beforeend", "<b>markup</b>");
        return false;
      } catch {
        return true;
      }
    });
    assert.ok(refused, "the policy lets no script write markup");
    page.trouble = page.trouble.filter((text) => !/TrustedHTML/.test(text));
  }));

for (const [scheme, width, height] of [["light", 1400, 900], ["dark", 1400, 900], ["light", 380, 760], ["dark", 380, 760], ["light", 1800, 1000], ["dark", 1100, 800]]) {
  test(`axe-core finds nothing in ${scheme} at ${width}`, () =>
    withPage(
      async (page) => {
        await page.keyboard.press("a");
        await page.waitForSelector('.item.confirmed[data-number="1"]');
        await picture(page, `${scheme}-${width}`);
        const check = async (where) => {
          const { violations } = await new AxeBuilder({ page }).analyze();
          assert.deepEqual(violations.map((found) => `${where}: ${found.impact} ${found.id}: ${found.nodes.map((node) => node.html).join(" | ")}`), []);
        };
        await check("list");
        await row(page, 2).locator('[data-field="trade"]').click();
        await page.keyboard.type("p");
        await page.getByRole("listbox").getByRole("option").first().waitFor();
        await check("completion");
        await picture(page, `${scheme}-${width}-completion`);
        await page.keyboard.press("Escape");
        await page.keyboard.press("Escape");
        for (const key of ["x", "n", "h", "?"]) {
          await page.keyboard.press(key);
          await page.locator("dialog[open]").waitFor();
          await check(`dialog of ${key}`);
          await picture(page, `${scheme}-${width}-${key === "?" ? "keys" : key}`);
          await page.keyboard.press("Escape");
        }
      },
      { viewport: { width, height }, colorScheme: scheme, reducedMotion: "reduce" },
    ));
}
