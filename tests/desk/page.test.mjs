// What the inspector does with the page.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { desk, deskOf, launch, open, recheck, row, terminal } from "./page.mjs";

let browser;
before(async () => (browser = await launch()));
after(() => browser.close());

// A test on a desk of its own; nothing may go wrong in the page meanwhile, and nothing be asked of others.
const on = (name, work, { texts, ...options } = {}) =>
  test(name, async () => {
    const running = texts ? await deskOf(...texts) : await desk();
    const page = await open(browser, running.address, options);
    try {
      await work(page, running);
      assert.deepEqual(page.trouble, []);
      const host = new URL(running.address).host;
      assert.deepEqual(page.asked.filter((url) => new URL(url).host !== host && !url.startsWith("blob:")), []);
    } finally {
      await page.context().close();
      running.end();
    }
  });

const toldIs = (page, text) => page.waitForFunction((wanted) => document.querySelector("#told").textContent.includes(wanted), text);
// What others did reaches a page in steps: waits until it has heard of all of them.
const settled = (page) => page.evaluate(async () => {
  const { store } = await import("/assets/store.js");
  for (let heard = -1; heard !== store.event;) {
    heard = store.event;
    await new Promise((done) => setTimeout(done, 700));
  }
});
const troubleIs = (page, text) => page.waitForFunction((wanted) => document.querySelector("#trouble").textContent.includes(wanted), text);

on("the secret leaves the address and the history", async (page) => {
  assert.equal(new URL(page.url()).hash, "");
  assert.equal(await page.title(), "Plot seven: callover desk");
});

on("accepting confirms the item and opens the next undecided one", async (page) => {
  await row(page, 1).getByRole("button", { name: "Accept" }).click();
  await toldIs(page, "item 1 confirmed");
  await page.waitForSelector('.item.open[data-number="2"]');
  assert.match(await row(page, 1).getAttribute("class"), /confirmed/);
  assert.match(await page.locator("#progress").textContent(), /^1 of \d+ confirmed, \d+ to go$/);
});

on("editing in place keeps the field, completes it, and undo brings it back", async (page) => {
  const value = () => row(page, 1).locator('[data-field="position"]');
  const earlier = await value().textContent();
  await value().click();
  await page.keyboard.type("over the porch");
  await page.keyboard.press("Enter");
  await toldIs(page, "the position is now over the porch");
  assert.equal(await value().textContent(), "over the porch");
  await page.keyboard.press("u");
  await toldIs(page, "undone");
  assert.equal(await value().textContent(), earlier);
  await page.keyboard.press("y");
  await toldIs(page, "redone");

  await row(page, 1).locator('[data-field="trade"]').click();
  await page.keyboard.type("plum");
  // The list for fewer letters may still be shown; in the one for all of them it comes first.
  const option = page.getByRole("listbox").getByRole("option").first().filter({ hasText: /^plumber$/ });
  await option.waitFor();
  await page.keyboard.press("ArrowDown");
  assert.equal(await page.locator("input.editing").getAttribute("aria-activedescendant"), await option.getAttribute("id"));
  await page.keyboard.press("Enter");
  await toldIs(page, "the trade is now plumber");
});

on("a capital changes the last thing that is wrong and accepts the item with it", async (page) => {
  await page.keyboard.press("E");
  await page.keyboard.type("porch step");
  await page.keyboard.press("Enter");
  await toldIs(page, "item 1: the element is now porch step; confirmed");
  await page.waitForSelector('.item.open[data-number="2"]');
  await page.keyboard.press("u");
  await page.waitForSelector('.item.proposed[data-number="1"]');
});

on("Escape leaves a field as it was", async (page) => {
  const value = row(page, 1).locator('[data-field="element"]');
  const earlier = await value.textContent();
  await value.click();
  await page.keyboard.type("something else");
  await page.waitForTimeout(100);
  await page.keyboard.press("Escape");
  if (await page.locator("input.editing").count()) await page.keyboard.press("Escape");
  assert.equal(await value.textContent(), earlier);
  assert.equal(await page.locator("#told").textContent(), "");
});

on("a text that does not fit is refused in words, and what was typed stays", async (page) => {
  await row(page, 1).locator('[data-field="count"]').click();
  await page.keyboard.type("many");
  await page.keyboard.press("Enter");
  await troubleIs(page, "not a whole number");
  assert.equal(await page.locator("input.editing").inputValue(), "many");
});

on("rejecting asks for the reason, restoring brings the item back", async (page) => {
  await page.keyboard.press("x");
  await page.keyboard.press("1");
  await toldIs(page, "item 1 rejected: misheard");
  await row(page, 1).locator(".opener").click();
  await row(page, 1).getByRole("button", { name: "Restore" }).click();
  await toldIs(page, "item 1 is undecided again");
});

on("a question keeps Tab to itself, and Escape or a press elsewhere leaves it", async (page) => {
  const opener = page.locator(".item.open .opener");
  await opener.focus();
  await page.keyboard.press("x");
  for (let turn = 0; turn < 8; turn += 1) {
    await page.keyboard.press(turn < 4 ? "Tab" : "Shift+Tab");
    assert.ok(await page.evaluate(() => document.activeElement.closest("#reject[open]") !== null), `turn ${turn}`);
  }
  await page.keyboard.press("Escape");
  assert.equal(await page.locator("dialog[open]").count(), 0);
  assert.ok(await opener.evaluate((element) => element === document.activeElement));
  await page.keyboard.press("h");
  await page.locator("#split[open]").waitFor();
  await page.locator("h1").click();
  assert.equal(await page.locator("dialog[open]").count(), 0);
});

on("splitting at a word of what was heard makes two items", async (page) => {
  const count = await page.locator(".item").count();
  const quote = (await row(page, 1).locator(".heard").textContent()).match(/“(.*)”/)[1];
  await page.keyboard.press("h");
  await page.keyboard.press("ArrowRight");
  const chosen = Number(await page.locator("#split input:checked").inputValue());
  await page.keyboard.press("Enter");
  await page.waitForFunction((before) => document.querySelectorAll(".item").length === before + 1, count);
  const first = await row(page, 1).locator(".heard").textContent();
  assert.ok(first.includes(quote.split(" ").slice(0, chosen).join(" ")));
  assert.ok(!first.includes(quote.split(" ").slice(chosen).join(" ")));
  await page.keyboard.press("u");
  await page.waitForFunction((before) => document.querySelectorAll(".item").length === before, count);
});

on("joining, copying, moving and numbering are one question each", async (page) => {
  const count = await page.locator(".item").count();
  await page.keyboard.press("b");
  await page.keyboard.type("bathroom, loft");
  await page.keyboard.press("Enter");
  await page.waitForFunction((before) => document.querySelectorAll(".item").length === before + 2, count);
  await row(page, 1).locator(".opener").click();
  await page.keyboard.press("j");
  await page.keyboard.type("2");
  await page.keyboard.press("Enter");
  await page.waitForFunction((before) => document.querySelectorAll('.item:not(.rejected)').length === before + 1, count);
  await row(page, 1).locator(".opener").click();
  await page.keyboard.press("M");
  await page.keyboard.type("garage");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => document.querySelector('.item[data-number="1"]').closest("section").getAttribute("aria-label") === "garage");
  await page.keyboard.press("N");
  await page.keyboard.type("40");
  await page.keyboard.press("Enter");
  await row(page, 40).waitFor();
});

on("a photo dragged onto an item is the item's, and a button takes it off", async (page) => {
  await page.locator(".tile img").first().waitFor();
  const tile = page.locator('.tile[data-photo="photo-002.jpg"]');
  await row(page, 2).scrollIntoViewIfNeeded();
  await tile.dragTo(row(page, 2));
  await toldIs(page, "photo-002.jpg");
  assert.match(await row(page, 2).locator(".marks").textContent(), /1 photo/);
  await row(page, 2).locator(".opener").click();
  await row(page, 2).getByRole("button", { name: "Take photo-002.jpg off item 2" }).click();
  await page.waitForFunction(() => !document.querySelector('.item[data-number="2"] .photo'));
});

on("clicking an item plays its moment from a second before, and the words follow", async (page) => {
  await page.waitForFunction(() => document.querySelector("#strip").dataset.sound === "ready");
  await row(page, 3).locator(".opener").click();
  await page.waitForFunction(() => !document.querySelector("audio").paused);
  const item = await page.evaluate(async () => (await (await fetch("/list")).json()).list.items.find((item) => item.number === 3));
  const at = await page.evaluate(() => document.querySelector("audio").currentTime);
  assert.ok(at >= item.span[0] / 1000 - 1.01 && at < item.span[1] / 1000, `${at} for ${item.span}`);
  await page.waitForFunction(() => CSS.highlights.get("now").size === 1);
  assert.equal(await page.getByRole("button", { name: "Pause" }).count(), 1);
  await page.waitForFunction(() => document.querySelector("audio").paused, null, { timeout: 20000 });
  const end = await page.evaluate(() => document.querySelector("audio").currentTime);
  assert.ok(Math.abs(end - item.span[1] / 1000 - 0.6) < 0.4, `${end} for ${item.span}`);
});

on("selected words make an item with their moment", async (page) => {
  await page.locator("#paragraphs p").first().waitFor();
  const said = await page.evaluate(() => {
    const paragraphs = [...document.querySelectorAll("#paragraphs p")];
    const paragraph = paragraphs.find((other) => other.textContent.includes("happy with"));
    const node = paragraph.lastChild;
    const at = node.data.indexOf("soffits");
    getSelection().setBaseAndExtent(node, at + 2, node, at + 18);
    return node.data.slice(at, at + 23);
  });
  const button = page.locator("#from-words");
  await button.waitFor();
  assert.match(await button.textContent(), /soffits and the fascia/, said);
  await button.click();
  await page.locator("#new-item [name=element]").fill("soffit");
  await page.locator("#new-item [name=defect]").fill("stained");
  await page.locator("#new-item").getByRole("button", { name: "Add" }).click();
  const made = page.locator(".item.open", { hasText: "stained" });
  await made.waitFor();
  assert.match(await made.locator(".heard").textContent(), /soffits and the fascia/);
  assert.ok(await made.locator(".play").count());
});

on("what was said and is in no item can be made one", async (page) => {
  const count = await page.locator(".item").count();
  await page.keyboard.press("i");
  await page.keyboard.press("Enter");
  await page.locator("#new-item [name=place]").fill("hallway");
  await page.locator("#new-item [name=element]").fill("door");
  await page.locator("#new-item [name=defect]").fill("sticking");
  await page.keyboard.press("Enter");
  await page.waitForFunction((before) => document.querySelectorAll(".item").length === before + 1, count);
});

on("search and choices show some of the list", async (page) => {
  await page.keyboard.press("/");
  await page.keyboard.type("gas meter");
  await page.waitForFunction(() => document.querySelectorAll(".item:not([hidden])").length < 5);
  await page.locator("#search").fill("no such thing anywhere");
  await page.getByText("No item fits").waitFor();
  await page.locator("#search").fill("");
  await page.locator("#show").selectOption("unsure");
  const sure = await page.evaluate(async () => {
    const items = (await (await fetch("/list")).json()).list.items;
    return [...document.querySelectorAll(".item:not([hidden])")].map((row) => items.find((item) => item.number === Number(row.dataset.number)).confidence);
  });
  assert.deepEqual(sure, [...sure].sort((a, b) => a - b));
});

on("two windows and the terminal stay one list, and nothing is overwritten", async (page, running) => {
  const other = await (await page.context()).newPage();
  await other.goto(running.address.split("#")[0]);
  await other.waitForSelector("body[data-ready]");
  await page.keyboard.press("a");
  await other.waitForFunction(() => document.querySelector('.item[data-number="1"]').classList.contains("confirmed"));
  assert.match(await other.locator("#told").textContent(), /Elsewhere: item 1 confirmed/);
  await terminal(running.job, "g 5\nr said twice\nq\n");
  for (const window of [page, other]) await window.waitForFunction(() => document.querySelector('.item[data-number="5"]').classList.contains("rejected"));

  // A page that has not heard yet is refused, reads again and says so.
  await page.route("**/changes*", (route) => route.abort());
  await page.evaluate(async () => {
    const { store } = await import("/assets/store.js");
    store.event -= 1;
  });
  await page.keyboard.press("a");
  await troubleIs(page, "nothing was overwritten");
  await other.close();
});

on("what a second visit found is kept, dismissed or said otherwise", async (page, { job }) => {
  await terminal(job, "above 0\nq\n");
  assert.equal(await recheck(job), 0);
  await page.waitForFunction(() => document.querySelectorAll(".item .found, .item .doubt").length && /findings? to decide/.test(document.querySelector("#progress").textContent));
  const waiting = () => page.locator("#progress").textContent().then((text) => Number(/(\d+) findings? to decide/.exec(text)?.[1] ?? 0));
  await settled(page);
  const before = await waiting();
  await page.keyboard.press("s");
  // The button is there once the item that has a finding is open.
  const keep = page.locator(".item.open").getByRole("button", { name: /^Keep/ });
  const words = /“(.*)”/.exec(await keep.textContent())[1];
  const opened = async (before) => {
    await page.waitForFunction((before) => document.querySelector(".item.open")?.dataset.number !== before, before ?? null);
    return page.locator(".item.open").getAttribute("data-number");
  };
  const first = await opened();
  await page.keyboard.press("a");
  await page.waitForFunction(([number, words]) => document.querySelector(`.item[data-number="${number}"] .marks`).textContent.includes(words), [first, words]);
  const second = await opened(first);
  await page.keyboard.press("x");
  await toldIs(page, `item ${second} stands as before`);
  const third = await opened(second);
  await page.keyboard.press("S");
  await page.locator("#stand").getByRole("radio", { name: "closed by agreement" }).check();
  await page.locator("#stand").getByLabel("Note").fill("left as it is");
  await page.keyboard.press("Enter");
  await toldIs(page, `item ${third}: closed by agreement`);
  assert.equal(await waiting(), before - 3);
});

const STRANGE = "Hallway. The blenkit is cracked. Kitchen. The blenkit is loose. Loft. The blenkit is scratched.";

on(
  "a word that was misheard alike is put right in all items, and learnt with one key",
  async (page) => {
    const element = (number) => row(page, number).locator('[data-field="element"]');
    await element(1).click();
    await page.keyboard.type("plinth");
    await page.keyboard.press("Enter");
    await toldIs(page, "item 1: the element is now plinth; likewise in items 2 and 3");
    assert.match(await page.locator("#told button").textContent(), /^Learn: "blenkit" is another word for the element plinth/);
    await row(page, 2).locator(".opener").click();
    assert.equal(await element(2).textContent(), "plinth");
    assert.match(await element(2).locator("..").textContent(), /as you corrected item 1/);
    await page.keyboard.press("L");
    await toldIs(page, "for callover learn: \"blenkit\" is another word");
    assert.equal(await page.locator("#told button").count(), 0);
    await page.keyboard.press("u");
    await page.keyboard.press("u");
    await toldIs(page, "undone: item 1");
    assert.equal(await element(2).textContent(), "blenkit");
    await page.keyboard.press("L");
    await troubleIs(page, "nothing was corrected");
  },
  { texts: [STRANGE] },
);

on(
  "the picture tells the corrections an item of the jobs that lie here",
  async (page, running) => {
    await terminal(running.jobs[1], "e element=plinth\na\na\n");
    await terminal(running.jobs[0], "a\na\na\n");
    await page.locator("#growth summary").click();
    await page.waitForSelector("#growth rect");
    const lines = await page.locator("#growth li").allTextContents();
    assert.equal(lines.length, 2);
    assert.match(lines.find((line) => line.includes("this job")), /^0\.00 0, 3 items/);
    assert.match(lines.find((line) => !line.includes("this job")), /^0\.50 1, 2 items/);
    assert.equal(await page.locator("#growth rect.here").count(), 1);
  },
  { texts: [STRANGE, "Hallway. The blenkit is cracked. The tap is loose."] },
);
