// Every kind of question: correct, not correct, impossible to read, with hints, by keyboard and by touch.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { answerRightly, check, fill, wrongly } from "./answering.js";
import { castmark, pageOf } from "./castmark.js";
import { assertQuiet, focused, launch, open, windowOf } from "./stage.js";
import { KINDS, openKind } from "./states.js";

let browser;
before(async () => { browser = await launch(); });
after(() => browser?.close());

async function stage(options) {
  const context = await windowOf(browser, options);
  return { context, page: await open(context, pageOf()) };
}

const attempts = (page) => page.evaluate(() => record.attempts.length);

for (const [kind, template] of Object.entries(KINDS)) {
  test(`${kind}: every part answered correctly earns all marks and is solved alone`, async () => {
    const { context, page } = await stage({ hasTouch: true });
    const problem = await openKind(page, template);
    for (const [at, part] of problem.parts.entries()) {
      await answerRightly(page, part);
      const verdict = await focused(page);
      assert.match(verdict.classes, /verdict/);
      const marks = `${part.marks} of ${part.marks} mark${part.marks === 1 ? "" : "s"}`;
      assert.ok(verdict.name.startsWith("Correct") && verdict.name.includes(marks), verdict.name);
      await page.keyboard.press("Tab");
      const next = at + 1 < problem.parts.length ? "Next part" : "Go to today's practice";
      assert.equal((await focused(page)).text, next);
      if (at + 1 < problem.parts.length) await page.keyboard.press("Enter");
    }
    assert.match(await page.locator(".end").innerText(), /alone/i);
    assertQuiet(context);
    await context.close();
  });

  test(`${kind}: a wrong answer is told why, wholly in view, and leads to the second try or the answer`, async () => {
    const { context, page } = await stage();
    const problem = await openKind(page, template);
    const part = problem.parts[0];
    await fill(page, part.space.kind, wrongly(part));
    await check(page);
    if (part.space.kind === "lines" || part.space.kind === "text") {
      assert.match((await focused(page)).text, /^Compare with the (points|key)$/);
      await page.getByRole("button", { name: "Keep these marks" }).click();
    }
    const verdict = await focused(page);
    assert.match(verdict.classes, /verdict (not-correct|partly-correct)/);
    assert.match(verdict.name, /^(Not|Partly) correct/);
    assert.ok(verdict.description.length > 10);
    const box = await page.locator(".verdict").last().boundingBox();
    assert.ok(box.y >= 0 && box.y + Math.min(box.height, 600) <= 641, JSON.stringify(box));
    const second = await page.getByRole("heading", { name: "Second try" }).count();
    if (part.space.kind === "lines" || part.space.kind === "text") {
      assert.equal(second, 0);
    } else if (second) {
      assert.ok(await page.locator("main form").count());
      assert.equal(await page.getByText("The answer", { exact: true }).count(), 0);
    } else {
      assert.ok(await page.getByRole("heading", { name: "The answer" }).count());
    }
    assertQuiet(context);
    await context.close();
  });

  test(`${kind}: what cannot be read costs nothing, and the focus is where it can be put right`, async () => {
    const { context, page } = await stage();
    const problem = await openKind(page, template);
    const { kind: space } = problem.parts[0].space;
    for (const text of space === "number" ? ["", "abc", "24,520", "9".repeat(4000)] : [""]) {
      if (["number", "text", "lines"].includes(space)) await page.locator("#answer").fill(text);
      if (space === "range") await page.locator("#answer-0").fill("30");
      await check(page);
      assert.equal(await attempts(page), 0);
      const described = await page.evaluate(() => {
        const element = document.activeElement;
        const group = element.closest("[aria-describedby]");
        return document.getElementById(group?.getAttribute("aria-describedby") ?? "")?.textContent ?? "";
      });
      assert.match(described, /No try has been used\./, `${text.slice(0, 20)}: ${described}`);
      assert.ok(await page.evaluate(() => document.activeElement.matches("input, select, textarea, button.line")));
    }
    if (space === "number") {
      await page.locator("#answer").fill("24,520");
      await check(page);
      await page.locator("#error").getByRole("button", { name: "24520" }).click();
      assert.equal(await page.locator("#answer").inputValue(), "24520");
      assert.equal(await page.locator("[aria-describedby=error]").count(), 0);
    }
    assertQuiet(context);
    await context.close();
  });

  test(`${kind}: hints come one by one, and the name of the button says what the next one is`, async () => {
    const { context, page } = await stage();
    await openKind(page, template);
    for (let hint = 0; hint < 12; hint += 1) {
      const button = page.locator("#hint");
      if (!(await button.count())) break;
      const before = await page.locator(".hint").count();
      const name = await button.innerText();
      assert.match(name, /^Hint/);
      await button.click();
      assert.equal(await page.locator(".hint").count(), before + 1);
      assert.equal(await page.locator(".hint h3").last().innerText(), name);
      assert.ok((await page.locator("#status").innerText()).length > 5);
      const at = await focused(page);
      assert.ok(at.id === "hint" || at.classes.includes("hint"), JSON.stringify(at));
    }
    assert.ok(await page.locator(".hint").count() > 0);
    assert.equal(await attempts(page), 0);
    assertQuiet(context);
    await context.close();
  });
}

test("Enter twice in quick succession does not skip the verdict", async () => {
  const { context, page } = await stage();
  const problem = await openKind(page, "base-one-drug");
  await page.locator("#answer").fill(problem.parts[0].key.answer.split(" ")[0]);
  await page.keyboard.press("Enter");
  await page.keyboard.press("Enter");
  assert.match((await focused(page)).classes, /verdict/);
  assert.ok(await page.getByRole("button", { name: "Next part" }).count());
  await context.close();
});

test("the same answer twice costs nothing", async () => {
  const { context, page } = await stage();
  await openKind(page, "base-one-drug");
  for (let time = 0; time < 3; time += 1) {
    await page.locator("#answer").fill("987654.32");
    await check(page);
  }
  assert.equal(await attempts(page), 1);
  assert.match(await page.locator("#error").innerText(), /same answer/);
  await context.close();
});

test("wrong twice shows the answer, which was not on the page before", async () => {
  const { context, page } = await stage();
  const problem = await openKind(page, "base-one-drug");
  const { answer } = problem.parts[0].key;
  const there = () => page.evaluate((text) => document.querySelector("main").textContent.replaceAll("\u00a0", " ").includes(text), answer);
  assert.equal(await there(), false);
  await page.locator("#answer").fill("987654.32");
  await check(page);
  assert.equal(await there(), false);
  await page.locator("#answer").fill("87654.32");
  await check(page);
  assert.equal(await there(), true);
  assert.ok(await page.getByRole("heading", { name: "The answer" }).count());
  await context.close();
});

test("part (b) is not on the page before (a) has ended, nor points before the answer is written", async () => {
  const { context, page } = await stage();
  const problem = await openKind(page, "base-one-drug");
  const text = () => page.locator("main").innerText();
  assert.ok(!(await text()).includes(problem.parts[1].ask.slice(0, 30)));
  const written = await openKind(page, "ideal-base-list");
  const point = written.parts[0].key.scheme[0].what.replace(/ \(.*$/, "");
  assert.ok(!(await text()).includes(point), point);
  await context.close();
});

test("lines pressed out of order keep their place, and a number taken away is given next", async () => {
  const { context, page } = await stage();
  await openKind(page, "order-of-fusion");
  const lines = page.locator("button.line");
  const before = await lines.evaluateAll((all) => all.map((line) => line.lastElementChild.textContent));
  const numbers = () => lines.evaluateAll((all) => all.map((line) => line.querySelector(".cavity").textContent.replace(/\D/g, "")));
  for (const line of [4, 2, 1]) await lines.nth(line).click();
  assert.deepEqual(await numbers(), ["", "3", "2", "", "1"]);
  await lines.nth(2).click();
  await lines.nth(0).press("Enter");
  assert.deepEqual(await numbers(), ["2", "3", "", "", "1"]);
  assert.deepEqual(await lines.evaluateAll((all) => all.map((line) => line.lastElementChild.textContent)), before);
  assert.match(await page.locator("#status").innerText(), /^Number 2: .*The next line you press gets number 4\./s);
  await context.close();
});

test("the sentences of a verdict are those of the program", async () => {
  const { context, page } = await stage();
  const problem = await openKind(page, "base-one-drug");
  const given = await page.evaluate(() => desk.table.given.map((value) => value.value));
  assert.ok(given.length > 2);
  await page.locator("#answer").fill("9.1");
  await check(page);
  const told = JSON.parse(castmark("check", problem.code, "a=9.1g", "--format", "json"));
  const said = (await page.locator(".verdict").last().innerText()).replaceAll("\u00a0", " ");
  const reasons = JSON.stringify(told).replaceAll("\u00a0", " ");
  const sentences = await page.evaluate(() => desk.table.question.tries[0].sentences);
  assert.ok(sentences.length > 0);
  for (const sentence of sentences) {
    assert.ok(said.includes(sentence.replaceAll("\u00a0", " ")));
    assert.ok(reasons.includes(JSON.stringify(sentence.replaceAll("\u00a0", " ")).slice(1, -1)), `${sentence}\n${reasons}`);
  }
  await context.close();
});

test("a phone brings up its keypad for numbers, and no other help", async () => {
  const { context, page } = await stage();
  await openKind(page, "base-one-drug");
  const field = page.locator("#answer");
  for (const [name, value] of [["type", "text"], ["inputmode", "decimal"], ["autocomplete", "off"], ["spellcheck", "false"], ["enterkeyhint", "done"]]) {
    assert.equal(await field.getAttribute(name), value, name);
  }
  assert.match(await page.locator("label[for=answer]").innerText(), /^Answer in g, to two decimal places$/);
  await context.close();
});
