// Every state in every width and scheme: no violation that axe-core finds, nothing cut off, nothing too small.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { after, before, test } from "node:test";
import { pageOf } from "./castmark.js";
import { assertQuiet, launch, open, windowOf } from "./stage.js";
import { STATES } from "./states.js";

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const WIDTHS = [320, 360, 768, 1280];

let browser;
before(async () => { browser = await launch(); });
after(() => browser?.close());

/** What is wrong with the screen as it stands, in words. */
async function faults(page) {
  return page.evaluate(async () => {
    const found = [];
    const main = document.querySelector("main");
    const seen = (element) => element.checkVisibility() && !element.closest(".unseen, .skip");
    const name = (element) => `${element.tagName.toLowerCase()} “${(element.textContent ?? "").trim().slice(0, 40)}”`;
    const results = await axe.run(document, {
      iframes: false,
      runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    });
    for (const violation of results.violations) {
      found.push(`${violation.id}: ${violation.nodes.map((node) => node.html.slice(0, 160)).join(" | ")}`);
    }
    const root = document.documentElement;
    if (root.scrollWidth > root.clientWidth) found.push(`scrolls sideways: ${root.scrollWidth} > ${root.clientWidth}`);
    for (const element of document.querySelectorAll("body *")) {
      if (!seen(element) || element.closest("svg, math, .wide, .equation, iframe")) continue;
      if (element.getBoundingClientRect().right > root.clientWidth + 1) found.push(`${name(element)} is cut off`);
      const words = [...element.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.data.trim());
      if (words && parseFloat(getComputedStyle(element).fontSize) < 14) found.push(`${name(element)} is smaller than 14 px`);
      const style = getComputedStyle(element);
      if (style.animationName !== "none" || parseFloat(style.transitionDuration) > 0) found.push(`${name(element)} moves`);
    }
    for (const control of document.querySelectorAll("button, .button, input, select, textarea, summary, .rooms a")) {
      if (!seen(control)) continue;
      const target = control.closest(".pick") ?? control;
      const { width, height } = target.getBoundingClientRect();
      if (width < 44 || height < 44) found.push(`${name(control)} is ${Math.round(width)} x ${Math.round(height)}`);
    }
    const levels = [...document.querySelectorAll("h1, h2, h3, h4")].filter(seen).map((heading) => Number(heading.tagName[1]));
    if (levels.filter((level) => level === 1).length !== 1) found.push(`${levels.filter((level) => level === 1).length} h1`);
    levels.reduce((above, level) => {
      if (level > above + 1) found.push(`h${level} below h${above}`);
      return level;
    }, 0);
    const ids = [...document.querySelectorAll("[id]")].map((element) => element.id);
    if (new Set(ids).size !== ids.length) found.push("an id is there twice");
    const filled = [...main.querySelectorAll(".first")].filter((one) => seen(one) && !one.closest("[role=alert]"));
    if (filled.length > 1) found.push(`${filled.length} filled buttons`);
    if (!document.title.endsWith("Moulded dosage forms") && document.title !== "Moulded dosage forms") found.push(`title ${document.title}`);
    return found;
  });
}

for (const [name, reach] of Object.entries(STATES)) {
  test(`${name}: no fault at any width, light or dark`, async () => {
    const context = await windowOf(browser);
    const page = await open(context, pageOf("--title", "Moulded dosage forms"));
    await reach(page);
    await page.evaluate(AXE);
    const found = [];
    for (const width of WIDTHS) {
      for (const colorScheme of ["light", "dark"]) {
        await page.setViewportSize({ width, height: width < 700 ? 640 : 900 });
        await page.emulateMedia({ colorScheme });
        for (const fault of await faults(page)) found.push(`${width} ${colorScheme}: ${fault}`);
        if (process.env.CASTMARK_PICTURES) {
          const file = `${process.env.CASTMARK_PICTURES}/${name.replace(/\W+/g, "-")}-${width}-${colorScheme}.png`;
          await page.screenshot({ path: file, fullPage: true });
        }
      }
    }
    assert.deepEqual(found, []);
    assertQuiet(context);
    await context.close();
  });
}

test("text of twice the size and with wide spacing stays within 320 and 640 pixels", async () => {
  for (const [name, reach] of Object.entries(STATES)) {
    const context = await windowOf(browser);
    const page = await open(context, pageOf("--title", "Moulded dosage forms"));
    await reach(page);
    for (const [width, css] of [
      [640, "html { font-size: 200% !important; }"],
      [320, "* { line-height: 1.5 !important; letter-spacing: .12em !important; word-spacing: .16em !important; } p { margin-bottom: 2em !important; }"],
    ]) {
      await page.setViewportSize({ width, height: 640 });
      const wide = await page.evaluate((text) => {
        const style = document.createElement("style");
        style.textContent = text;
        document.head.append(style);
        const root = document.documentElement;
        const sides = [root.scrollWidth, root.clientWidth];
        style.remove();
        return sides;
      }, css);
      assert.ok(wide[0] <= wide[1], `${name} at ${width}: ${wide}`);
    }
    await context.close();
  }
});

test("with forced colours, what is chosen has a thicker border and a filled button can be read", async () => {
  const context = await windowOf(browser, { forcedColors: "active" });
  const page = await open(context, pageOf("--title", "Moulded dosage forms"));
  // The browser lays the colour of the page under all letters, so these have to be those of its text.
  const colour = (selector) => page.locator(selector).first().evaluate((element) => getComputedStyle(element).color);
  for (const filled of ["button.first", ".rooms a[aria-current]"]) assert.equal(await colour(filled), await colour("main p"), filled);
  const width = (locator) => locator.evaluate((element) => parseFloat(getComputedStyle(element).borderTopWidth));
  await STATES["several options"](page);
  await page.locator("label.pick").first().click();
  assert.ok(await width(page.locator("label.pick").first()) > await width(page.locator("label.pick").nth(1)));
  await STATES.ordering(page);
  await page.locator("button.line").first().click();
  assert.ok(await width(page.locator("button.line").first()) > await width(page.locator("button.line").nth(1)));
  await context.close();
});
