// Links, history, the first minutes, sheets, own numbers, small pages and hostile ones.

import assert from "node:assert/strict";
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { createServer } from "node:http";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { answerRightly, check } from "./answering.js";
import { castmark, codeOf, folder, pageOf, problemOf } from "./castmark.js";
import { assertQuiet, focused, launch, open, windowOf } from "./stage.js";
import { fillOrder, goTo, openKind } from "./states.js";

let browser;
before(async () => { browser = await launch(); });
after(() => browser?.close());

test("a student's first ten minutes, with the keyboard alone", async () => {
  const context = await windowOf(browser);
  const page = await open(context, pageOf());
  const press = async (name) => {
    for (let tab = 0; tab < 60; tab += 1) {
      if ((await focused(page)).text === name) return page.keyboard.press("Enter");
      await page.keyboard.press("Tab");
    }
    throw new Error(`no way to ${name}`);
  };
  const toField = async () => {
    for (let tab = 0; tab < 60; tab += 1) {
      if ((await focused(page)).id === "answer") return;
      await page.keyboard.press("Tab");
    }
    throw new Error("no way to the field");
  };
  await press("Start with the first problem");
  assert.equal(await page.getByRole("heading", { name: "Worked example" }).count(), 1);
  assert.equal((await focused(page)).tag, "h1");
  for (let problem = 0; problem < 3; problem += 1) {
    while (await page.locator("#answer").count()) {
      const part = await page.evaluate(() => desk.table.question.letter || "a");
      const found = problemOf(await page.evaluate(() => desk.table.code)).parts.find((one) => (one.letter || "a") === part);
      await toField();
      await page.keyboard.type(found.key.answer.split(" ")[0]);
      await page.keyboard.press("Enter");
      assert.match((await focused(page)).name, /^Correct/);
      await page.keyboard.press("Tab");
      const next = (await focused(page)).text;
      await page.keyboard.press("Enter");
      if (next === "Next problem") break;
    }
  }
  await goTo(page, "");
  assert.match(await page.locator("main").innerText(), /answers are kept in this browser/);
  assertQuiet(context);
  await context.close();
});

test("a code in the address opens its problem, and Back and Forward restore screens and scrolling", async () => {
  const context = await windowOf(browser);
  const code = codeOf("base-one-drug", 8);
  const page = await open(context, pageOf(), `problem/${code}`);
  assert.match(await page.locator(".place").innerText(), /opened from a link/);
  const visited = ["progress", "print", "work", "about", "record"];
  for (const path of visited) await goTo(page, path);
  await page.evaluate(() => scrollTo(0, 60));
  await page.waitForTimeout(100);
  await goTo(page, "about");
  await page.evaluate(() => scrollTo(0, 200));
  await page.waitForTimeout(100);
  await page.goBack();
  assert.equal(await page.locator("h1").innerText(), "Your record");
  assert.equal(await page.evaluate(() => scrollY), 60);
  await page.goForward();
  assert.equal(await page.locator("h1").innerText(), "About this page");
  assert.equal(await page.evaluate(() => scrollY), 200);
  for (let back = 0; back < 6; back += 1) await page.goBack();
  assert.equal(await page.evaluate(() => desk.table.code), code);
  assert.ok(await page.locator("#answer").count());
  assertQuiet(context);
  await context.close();
});

test("Back shows an answered problem as it was left, to be read and not to be answered", async () => {
  const context = await windowOf(browser);
  const page = await open(context, pageOf());
  await page.getByRole("button", { name: "Start with the first problem" }).click();
  while (!(await page.getByRole("button", { name: "Next problem" }).count())) {
    if (await page.locator("#answer").count()) {
      const letter = await page.evaluate(() => desk.table.question.letter || "a");
      const problem = problemOf(await page.evaluate(() => desk.table.code));
      await answerRightly(page, problem.parts.find((part) => (part.letter || "a") === letter));
    } else await page.getByRole("button", { name: "Next part" }).click();
  }
  await page.getByRole("button", { name: "Next problem" }).click();
  await page.goBack();
  assert.match(await page.locator("main").innerText(), /You have answered this problem/);
  assert.ok(await page.locator(".verdict").count());
  assert.equal(await page.locator("main form").count(), 0);
  await page.goForward();
  assert.equal(await page.locator("main form").count(), 1);
  await context.close();
});

test("a code that does not fit is told, with the code to be corrected", async () => {
  const context = await windowOf(browser);
  for (const code of ["base-one-drug.aaaa-aaaab", "no-such-template.aaaa-aaaaa", "%E0%A4%A", "<b>x", "a".repeat(3000)]) {
    const page = await open(context, pageOf(), `problem/${code}`);
    assert.equal(await page.locator("h1").innerText(), "This problem cannot be opened");
    assert.ok((await page.locator("main p").first().innerText()).length > 20);
    assert.equal(await page.locator("main b").count(), 0);
    await page.close();
  }
  const right = codeOf("base-one-drug", 9);
  const page = await open(context, pageOf(), `problem/${right.toUpperCase()}`);
  assert.equal(await page.locator("h1").innerText(), problemOf(right).heading ?? await page.locator("h1").innerText());
  assertQuiet(context);
  await context.close();
});

test("the sheet in the frame is the program's own, byte for byte, and has no buttons on paper", async () => {
  const context = await windowOf(browser, { acceptDownloads: true });
  const page = await open(context, pageOf(), "print");
  await page.getByText("Base quantity", { exact: true }).click();
  for (const box of ["Key", "Worked solutions"]) await page.getByText(box, { exact: true }).click();
  await page.locator("#count").fill("3");
  await page.locator("#seed").fill("2026");
  await page.getByRole("button", { name: "Make the sheet" }).click();
  assert.equal((await focused(page)).text, "The sheet");
  const own = castmark("problem", "--objective", "base-quantity", "--count", "3", "--seed", "2026", "--show", "questions,key,solutions", "--format", "html");
  assert.equal(await page.locator("iframe").getAttribute("srcdoc"), own);
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save as a file" }).click()]);
  assert.equal(readFileSync(await download.path(), "utf8"), own);
  const frame = page.frameLocator("iframe");
  assert.equal(await frame.locator("h1").count(), 1);
  const tray = await frame.locator(".room").first().evaluate((room) => getComputedStyle(room).getPropertyValue("--marks"));
  assert.match(tray, /\d/);
  await page.evaluate(() => {
    const frame = document.querySelector("iframe");
    frame.contentWindow.print = () => { window.printed = true; };
  });
  await page.getByRole("button", { name: "Print the sheet" }).click();
  assert.equal(await page.evaluate(() => window.printed), true);
  await page.locator("#count").fill("many");
  await page.getByRole("button", { name: "Make the sheet" }).click();
  assert.match(await page.locator("main [role=alert]").innerText(), /whole number/);
  assertQuiet(context);
  await context.close();
});

test("own numbers give the working of the program, and travel in the address", async () => {
  const context = await windowOf(browser);
  const page = await open(context, pageOf(), "work/base-one-drug");
  await page.getByRole("button", { name: "Calculate" }).click();
  const links = page.locator(".box li a");
  assert.ok(await links.count() >= 2);
  await links.first().click();
  assert.equal((await focused(page)).tag, "input");
  const examples = await page.evaluate(() => ask("values", { template: "base-one-drug" }).values.map((value) => [value.name, value.example, value.row]));
  for (const field of await page.locator("main form .field").all()) {
    const label = await field.locator("label").innerText();
    if (await field.locator("input").count() && await field.isVisible()) {
      await field.locator("input").fill(/such as (.*)$/.exec(label)[1]);
    }
  }
  await page.getByRole("button", { name: "Calculate" }).click();
  const sheet = await page.locator("iframe").getAttribute("srcdoc");
  const own = castmark("work", "base-one-drug", ...examples.map(([name, value]) => `${name}=${value}`), "--format", "html");
  assert.equal(sheet, own);
  await page.reload();
  await page.waitForSelector("main h1");
  await page.getByRole("button", { name: "Calculate" }).click();
  assert.equal(await page.locator("iframe").getAttribute("srcdoc"), sheet);
  assertQuiet(context);
  await context.close();
});

test("an order gives the sheet of castmark batch, and travels in the address", async () => {
  const context = await windowOf(browser);
  const page = await open(context, pageOf());
  const options = await fillOrder(page);
  await page.getByRole("button", { name: "Calculate" }).click();
  assert.equal((await focused(page)).text, "The sheet");
  const sheet = await page.locator("iframe").getAttribute("srcdoc");
  assert.equal(sheet, castmark(...options, "--format", "html"));
  await page.reload();
  await page.waitForSelector("main h1");
  await page.getByRole("button", { name: "Calculate" }).click();
  assert.equal(await page.locator("iframe").getAttribute("srcdoc"), sheet);
  assertQuiet(context);
  await context.close();
});

test("the whole order of the manual can be given: blanks, a source of the facts, balances, a second ingredient", async () => {
  const context = await windowOf(browser);
  const page = await open(context, pageOf(), "work");
  await page.getByLabel("Units ordered").fill("12");
  await page.getByLabel("What a cavity holds").selectOption("masses");
  await page.getByLabel("Mass of each blank").fill("1.02\n1.04\n1.05\n1.03");
  await page.getByLabel("Mass of the dish").fill("0");
  await page.getByText("More about the mould").click();
  await page.getByLabel("Size marked on the mould").fill("1");
  await page.getByLabel("Name of the base").fill("theobroma oil");
  await page.getByLabel("Its name").fill("zinc oxide");
  await page.getByLabel("Its name").press("Tab");
  await page.getByLabel("Dose in each unit").fill("200 mg");
  await page.getByLabel("Value and source").selectOption("practical-calculations-ch8");
  await page.getByText("Balance, label and heading").click();
  await page.getByLabel("Smallest step of the balance for drugs").fill("1 mg");
  await page.getByRole("button", { name: "Add another ingredient" }).click();
  const other = page.getByRole("group", { name: "Other ingredient" });
  await other.getByLabel("Its name").fill("beeswax");
  await other.getByLabel("How much of it").selectOption("strength");
  await other.getByLabel("Strength").fill("4");
  await other.getByLabel("What it displaces").selectOption("its own mass");
  await page.getByRole("button", { name: "Calculate" }).click();
  const own = castmark("batch", "--units", "12", "--masses", "1.02 g; 1.04 g; 1.05 g; 1.03 g", "--dish", "0 g", "--nominal", "1 g",
    "--base", "theobroma oil", "--drug", "zinc oxide", "dose=200 mg", "source=practical-calculations-ch8", "--balance", "1 mg",
    "--other", "beeswax", "strength=4 %", "displaces=its own mass", "--format", "html");
  assert.equal(await page.locator("iframe").getAttribute("srcdoc"), own);
  await page.getByRole("button", { name: "Remove other ingredient 1" }).click();
  assert.equal(await other.count(), 0);
  assertQuiet(context);
  await context.close();
});

test("everything that is wrong with an order is told together, and each link leads to its field", async () => {
  const context = await windowOf(browser);
  const page = await open(context, pageOf(), "work");
  await page.getByLabel("Units ordered").fill("a dozen");
  await page.getByRole("button", { name: "Calculate" }).click();
  assert.match((await focused(page)).text, /need a correction/);
  const links = page.locator(".box li a");
  assert.ok(await links.count() >= 4, await page.locator(".box").innerText());
  assert.equal(await page.locator(".box li:not(:has(a))").count(), 0, await page.locator(".box").innerText());
  for (const link of await links.all()) {
    await link.click();
    assert.match((await focused(page)).tag, /^(input|select|textarea)$/);
    assert.ok((await focused(page)).description.length > 10);
  }
  assertQuiet(context);
  await context.close();
});

test("the folder for a web space can be put on the home screen, and opens there without a network", async () => {
  const place = join(folder, "home");
  castmark("page", "--folder", place, "--template", "base-one-drug", "--title", "Week 3");
  const kinds = { html: "text/html", js: "text/javascript", svg: "image/svg+xml", png: "image/png", webmanifest: "application/manifest+json" };
  const server = createServer((request, response) => {
    const name = new URL(request.url, "http://localhost").pathname.replace(/\/$/, "/index.html");
    const file = join(place, name);
    if (!existsSync(file)) return response.writeHead(404).end();
    response.writeHead(200, { "content-type": kinds[name.split(".").pop()] }).end(readFileSync(file));
  });
  await new Promise((listening) => server.listen(0, "127.0.0.1", listening));
  const address = `http://127.0.0.1:${server.address().port}/`;
  const context = await windowOf(browser);
  const page = await open(context, address);
  const manifest = JSON.parse(readFileSync(join(place, "manifest.webmanifest"), "utf8"));
  assert.equal(manifest.name, "Week 3");
  await page.evaluate(() => navigator.serviceWorker.ready);
  await page.reload();
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  await new Promise((closed) => { server.closeAllConnections(); server.close(closed); });
  await page.reload();
  await page.waitForSelector("main h1");
  await page.getByRole("button", { name: "Start with the first problem" }).click();
  assert.equal(await page.locator("#answer").count(), 1);
  assert.ok(context.seen.requests.every((url) => url.startsWith(address)), context.seen.requests.join(" "));
  assert.deepEqual(context.seen.errors, []);
  await context.close();
});

test("a page with one topic offers no plan and no choice", async () => {
  const context = await windowOf(browser);
  const page = await open(context, pageOf("--template", "base-one-drug"));
  const text = await page.locator("main").innerText();
  assert.doesNotMatch(text, /Today|Exam|Choose for yourself/);
  await page.getByRole("button", { name: "Start with the first problem" }).click();
  assert.equal(await page.locator("#answer").count(), 1);
  assertQuiet(context);
  await context.close();
});

test("hostile titles and texts are text, cannot run, and do not burst the screen", async () => {
  const bank = join(folder, "hostile");
  mkdirSync(bank, { recursive: true });
  const evil = `<script>window.ran = 1</script>"><img src=x onerror="window.ran = 2">`;
  const long = "w".repeat(300);
  const own = castmark("bank", "show", "base-one-drug", "--file");
  writeFileSync(join(bank, "hostile-one.yaml"), own.replace(/^id: .*$/m, "id: hostile-one").replace(/^title: .*$/m, `title: ${JSON.stringify(`${evil} ${long}`)}`));
  const context = await windowOf(browser, { viewport: { width: 320, height: 640 } });
  const page = await open(context, pageOf("--bank", bank, "--title", `${evil} ${long}`));
  const code = JSON.parse(castmark("problem", "--bank", bank, "--template", "hostile-one", "--seed", "1", "--format", "json")).entries[0].code;
  for (const path of ["", `problem/${code}`, "print", "work", "work/hostile-one", "about", "progress"]) {
    await goTo(page, path);
    assert.equal(await page.evaluate(() => window.ran), undefined);
    assert.equal(await page.locator("img, main script").count(), 0);
    const [wide, room] = await page.evaluate(() => [document.documentElement.scrollWidth, document.documentElement.clientWidth]);
    assert.ok(wide <= room, `${path}: ${wide}`);
  }
  await goTo(page, `problem/${code}`);
  assert.ok((await page.locator("h1").innerText()).includes("<script>"));
  await page.locator("#answer").fill(evil);
  await check(page);
  assert.equal(await page.evaluate(() => window.ran), undefined);
  assert.equal(await page.locator("img").count(), 0);
  assertQuiet(context);
  await context.close();
});

test("a link is copied, or shown to be copied", async () => {
  const context = await windowOf(browser);
  const page = await open(context, pageOf());
  const problem = await openKind(page, "base-one-drug");
  await page.getByText("More", { exact: true }).click();
  await page.getByRole("button", { name: "Copy the link" }).click();
  await page.locator(".told-link").waitFor();
  const shown = page.locator(".told-link input");
  if (await shown.count()) assert.ok((await shown.inputValue()).endsWith(`#/problem/${problem.code}`));
  await context.close();
});

test("showing the answer says first what it costs", async () => {
  const context = await windowOf(browser);
  const page = await open(context, pageOf());
  await openKind(page, "faults-and-causes");
  await page.getByText("More", { exact: true }).click();
  await page.getByRole("button", { name: "Show the answer" }).click();
  assert.match((await focused(page)).text, /counts as not solved/);
  await page.getByRole("button", { name: "Go on trying" }).click();
  assert.equal(await page.evaluate(() => record.attempts.length), 0);
  await page.getByRole("button", { name: "Show the answer" }).click();
  await page.getByRole("button", { name: "Show it" }).click();
  assert.equal((await focused(page)).text, "The answer");
  assert.equal(await page.evaluate(() => record.attempts.length), 1);
  await context.close();
});
