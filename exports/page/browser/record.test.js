// The record: there before the verdict, there after the tab has died, told when it cannot be stored.

import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { answerRightly, check, fill } from "./answering.js";
import { castmark, folder, pageOf } from "./castmark.js";
import { assertQuiet, focused, launch, open, windowOf } from "./stage.js";
import { goTo, openKind } from "./states.js";

let browser;
before(async () => { browser = await launch(); });
after(() => browser?.close());

const stored = (page) => page.evaluate(() => readStored().attempts.length);
const wrongNumber = async (page, text) => {
  await page.locator("#answer").fill(text);
  await check(page);
};

test("an answer is in the storage before its verdict is on the screen", async () => {
  const context = await windowOf(browser);
  const page = await open(context, pageOf());
  await openKind(page, "base-one-drug");
  await page.evaluate(() => {
    window.order = [];
    const set = Storage.prototype.setItem;
    Storage.prototype.setItem = function setItem(key, value) {
      if (key.startsWith("castmark.day.")) window.order.push("stored");
      set.call(this, key, value);
    };
    new MutationObserver(() => {
      if (document.querySelector(".verdict")) window.order.push("shown");
    }).observe(document.querySelector("main"), { childList: true, subtree: true });
  });
  await wrongNumber(page, "987654.32");
  assert.deepEqual((await page.evaluate(() => window.order)).slice(0, 2), ["stored", "shown"]);
  await context.close();
});

test("after a tab has died, the problem is there with its tries, its hints and what was typed", async () => {
  const context = await windowOf(browser);
  let page = await open(context, pageOf());
  const problem = await openKind(page, "base-one-drug");
  await page.locator("#hint").click();
  await wrongNumber(page, "987654.32");
  await page.locator("#answer").fill("12.3");
  const before = await page.locator("main .sides").innerText();
  await page.goto("chrome://crash").catch(() => {});
  await page.close().catch(() => {});
  page = await open(context, pageOf());
  assert.equal(await stored(page), 1);
  assert.match(await page.locator("main").innerText(), /one try|One try/);
  await page.getByRole("button", { name: /^Continue/ }).click();
  assert.equal(await page.evaluate(() => desk.table.code), problem.code);
  assert.equal(await page.locator("main .sides").innerText(), before);
  assert.equal(await page.locator("#answer").inputValue(), "12.3");
  await context.close();
});

test("a reload at every step of a problem changes nothing", async () => {
  const context = await windowOf(browser);
  const page = await open(context, pageOf());
  const problem = await openKind(page, "base-one-drug");
  const same = async () => {
    const before = await page.locator("main").innerText();
    await page.reload();
    await page.waitForSelector("main h1");
    assert.equal(await page.locator("main").innerText(), before);
  };
  await same();
  await page.locator("#hint").click();
  await same();
  for (const [at, part] of problem.parts.entries()) {
    await wrongNumber(page, "987654.32");
    await same();
    await answerRightly(page, part);
    await same();
    if (at + 1 < problem.parts.length) await page.getByRole("button", { name: "Next part" }).click();
  }
  assert.equal(await stored(page), 2 * problem.parts.length);
  await context.close();
});

test("where nothing may be stored the page says so, goes on, and asks before it is closed", async () => {
  const context = await windowOf(browser, { acceptDownloads: true });
  await context.addInitScript(() => {
    Object.defineProperty(window, "localStorage", { get() { throw new DOMException("denied", "SecurityError"); } });
  });
  const page = await open(context, pageOf());
  const box = page.locator("#trouble");
  assert.match(await box.innerText(), /^Your answers are not being stored/);
  const problem = await openKind(page, "base-one-drug");
  await answerRightly(page, problem.parts[0]);
  assert.match(await page.locator(".verdict").innerText(), /Correct/);
  assert.equal(await box.count(), 1);
  assert.equal(await page.evaluate(() => !window.dispatchEvent(new Event("beforeunload", { cancelable: true }))), true);
  const [download] = await Promise.all([page.waitForEvent("download"), box.getByRole("button", { name: "Save the record to a file" }).click()]);
  assert.equal(JSON.parse(readFileSync(await download.path(), "utf8")).length, 1);
  assertQuiet(context);
  await context.close();
});

test("when the storage is full no answer is lost, and it can be tried again", async () => {
  const context = await windowOf(browser);
  await context.addInitScript(() => {
    const set = Storage.prototype.setItem;
    window.room = 2;
    Storage.prototype.setItem = function setItem(key, value) {
      if (key.startsWith("castmark.day.")) {
        window.room -= 1;
        if (window.room < 0) throw new DOMException("full", "QuotaExceededError");
      }
      set.call(this, key, value);
    };
  });
  const page = await open(context, pageOf());
  const problem = await openKind(page, "base-one-drug");
  for (const part of problem.parts) {
    await answerRightly(page, part);
    const next = page.getByRole("button", { name: "Next part" });
    if (await next.count()) await next.click();
  }
  assert.match(await page.locator("#trouble").innerText(), /storage of this browser is full/);
  assert.equal(await stored(page), 2);
  assert.equal(await page.evaluate(() => record.attempts.length), 3);
  await page.evaluate(() => { window.room = 100; });
  await page.getByRole("button", { name: "Try to store again" }).click();
  assert.equal(await page.locator("#trouble").count(), 0);
  assert.equal(await stored(page), 3);
  await context.close();
});

test("a record from a newer page is left as it is", async () => {
  const context = await windowOf(browser);
  let page = await open(context, pageOf());
  await page.evaluate(() => { localStorage.setItem("castmark.form", "99"); localStorage.setItem("castmark.day.2026-01-01", "new form"); });
  await page.close();
  page = await open(context, pageOf());
  assert.match(await page.locator("#trouble").innerText(), /written by a newer page/);
  const problem = await openKind(page, "base-one-drug");
  await answerRightly(page, problem.parts[0]);
  assert.equal(await page.evaluate(() => localStorage.getItem("castmark.day.2026-01-01")), "new form");
  await page.getByRole("button", { name: "Start a new record" }).click();
  assert.equal(await page.locator("#trouble").count(), 0);
  assert.equal(await stored(page), 1);
  await context.close();
});

test("a record that is saved, deleted and loaded again is the same, and the program reads it", async () => {
  const context = await windowOf(browser, { acceptDownloads: true });
  const page = await open(context, pageOf());
  const problem = await openKind(page, "base-one-drug");
  await wrongNumber(page, "987654.32");
  await answerRightly(page, problem.parts[0]);
  await goTo(page, "record");
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save the record to a file" }).click()]);
  assert.match(download.suggestedFilename(), /^castmark-record-\d{4}-\d\d-\d\d\.json$/);
  const file = await download.path();
  const text = readFileSync(file, "utf8");
  assert.match(await page.locator("#said").innerText(), /^Saved\. .* holds both answers\.$/);

  const own = join(folder, "own.record");
  castmark("practise", "--record", own, "--join", file);
  assert.equal(castmark("practise", "--record", own, "--export", "json"), text);

  await page.getByRole("button", { name: "Delete two answers" }).click();
  await page.getByRole("button", { name: "Delete two answers" }).click();
  assert.equal(await stored(page), 0);
  assert.equal(await page.evaluate(() => Object.keys(localStorage).filter((key) => key.startsWith("castmark.day")).length), 0);

  for (const sentence of [/were? .*new\. Your record now holds (two|2) answers\.$/, /zero are new|no are new|0 are new/]) {
    await page.locator("#file").setInputFiles(file);
    await page.waitForFunction(() => document.getElementById("said").textContent.startsWith("Loaded."));
    assert.match(await page.locator("#said").innerText(), sentence);
    assert.equal(await stored(page), 2);
    await page.evaluate(() => { document.getElementById("said").textContent = ""; });
  }

  const foreign = join(folder, "foreign.json");
  writeFileSync(foreign, '{"name": "something else"}');
  await page.locator("#file").setInputFiles(foreign);
  await page.waitForFunction(() => document.getElementById("said").textContent !== "");
  assert.match(await page.locator("#said").innerText(), /^Expected a record/);
  assert.equal(await stored(page), 2);
  assertQuiet(context);
  await context.close();
});

test("two windows keep the answers of both", async () => {
  const context = await windowOf(browser);
  const pages = [await open(context, pageOf()), await open(context, pageOf())];
  await openKind(pages[0], "base-one-drug", 5);
  await openKind(pages[1], "base-one-drug", 6);
  for (let time = 0; time < 20; time += 1) {
    for (const page of pages) {
      if (await page.locator("#answer").count() === 0) {
        const next = page.getByRole("button", { name: /^(Next part|Go to today's practice)$/ });
        const name = await next.innerText();
        await next.click();
        if (name !== "Next part") await openKind(page, "base-one-drug", 100 + time + pages.indexOf(page) * 50);
      }
      await fill(page, "number", String(100000 + time));
      await check(page);
    }
  }
  for (const page of pages) {
    await page.waitForFunction(() => record.attempts.length === 40);
    assert.equal(await stored(page), 40);
  }
  await context.close();
});

test("two windows at one problem lose no try, and a problem ended in one is not ended again in the other", async () => {
  const context = await windowOf(browser);
  const [one, other] = [await open(context, pageOf()), await open(context, pageOf())];
  await openKind(one, "base-one-drug", 5);
  await openKind(other, "base-one-drug", 5);
  await wrongNumber(one, "987654.32");
  await wrongNumber(other, "87654.32");
  assert.match(await other.locator("#elsewhere").innerText(), /^You went on with this problem in another window/);
  assert.equal((await focused(other)).id, "elsewhere");
  assert.equal(await other.locator("#answer").inputValue(), "87654.32");
  assert.equal(await other.locator(".verdict").count(), 1);
  assert.equal(await stored(other), 1);
  await check(other);
  assert.equal(await stored(other), 2);
  assert.equal(await other.locator("#elsewhere").count(), 0);

  await one.getByText("More", { exact: true }).click();
  await one.getByRole("button", { name: "Skip this problem" }).click();
  assert.match(await one.locator("#elsewhere").innerText(), /another window/);
  await one.getByText("More", { exact: true }).click();
  await one.getByRole("button", { name: "Skip this problem" }).click();
  const skipped = await one.evaluate(() => desk.table.code);
  const before = await stored(one);
  await other.getByRole("button", { name: "Next part" }).click();
  assert.match(await other.locator("#elsewhere").innerText(), /^You finished or skipped this problem in another window/);
  assert.equal(await stored(other), before);
  assert.notEqual(await other.evaluate(() => desk.table.code), skipped);
  await context.close();
});

test("a record that is deleted in one window is gone in the other", async () => {
  const context = await windowOf(browser);
  const [one, other] = [await open(context, pageOf()), await open(context, pageOf())];
  await openKind(one, "base-one-drug", 5);
  await wrongNumber(one, "987654.32");
  await goTo(one, "record");
  await one.getByRole("button", { name: "Delete one answer" }).click();
  await one.getByRole("button", { name: /^Delete / }).click();
  await one.getByText("There is nothing to delete").waitFor();
  await goTo(other, "record");
  await other.getByText("There is nothing to delete").waitFor();
  assert.equal(await other.evaluate(() => record.attempts.length), 0);
  await context.close();
});

test("the date of an exam is kept, planned for and removed", async () => {
  const context = await windowOf(browser);
  const page = await open(context, pageOf());
  const date = new Date(Date.now() + 20 * 86_400_000).toISOString().slice(0, 10);
  await page.locator("#exam").fill(date);
  await page.getByRole("button", { name: "Set the date" }).click();
  await page.reload();
  await page.waitForSelector("main h1");
  assert.match(await page.locator("main").innerText(), /Your exam is on .* in 20 days/);
  await page.getByText("Change the date").click();
  await page.getByRole("button", { name: "Remove the date" }).click();
  assert.doesNotMatch(await page.locator("main").innerText(), /Your exam is on/);
  await context.close();
});
