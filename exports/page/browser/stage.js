// A browser, and pages in it that are watched for requests and errors.

import assert from "node:assert/strict";
import { chromium } from "playwright-core";

const FLAGS = [
  "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync",
];

export function launch(options = {}) {
  return chromium.launch({ executablePath: process.env.CASTMARK_CHROMIUM ?? "/usr/bin/chromium", args: FLAGS, ...options });
}

/** A window of its own, with a storage of its own. */
export async function windowOf(browser, options = {}) {
  const context = await browser.newContext({ viewport: { width: 360, height: 640 }, reducedMotion: "reduce", ...options });
  context.seen = { requests: [], errors: [] };
  context.on("request", (request) => {
    if (!/^(file|data|blob|about):/.test(request.url())) context.seen.requests.push(request.url());
  });
  context.on("weberror", (error) => context.seen.errors.push(String(error.error())));
  context.on("console", (message) => {
    if (message.type() === "error") context.seen.errors.push(message.text());
  });
  return context;
}

/** Opens the page at an address behind the `#`. */
export async function open(context, address, path = "") {
  const page = await context.newPage();
  page.setDefaultTimeout(15_000);
  await page.goto(`${address}#/${path}`);
  await page.waitForSelector("main h1");
  return page;
}

/** Nothing was fetched and nothing went wrong. */
export function assertQuiet(context) {
  assert.deepEqual(context.seen.requests, []);
  assert.deepEqual(context.seen.errors, []);
}

/** The name and description of what has the focus, as assistive technology gets them. */
export async function focused(page) {
  return page.evaluate(() => {
    const element = document.activeElement;
    const texts = (attribute) => (element.getAttribute(attribute) ?? "").split(/\s+/).filter(Boolean)
      .map((id) => document.getElementById(id)?.textContent ?? "").join(" ").replace(/\s+/g, " ").trim();
    return {
      tag: element.tagName.toLowerCase(),
      id: element.id,
      classes: element.className,
      text: element.textContent.replace(/\s+/g, " ").trim(),
      name: texts("aria-labelledby"),
      description: texts("aria-describedby"),
    };
  });
}
