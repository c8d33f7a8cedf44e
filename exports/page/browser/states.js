// The states of the page that every check of looks and access is made in, each reached as a student reaches it.

import { answerRightly, check, fill, wrongly } from "./answering.js";
import { codeOf, problemOf } from "./castmark.js";

/** One template of each kind of question. */
export const KINDS = {
  number: "base-one-drug",
  "several options": "limits-of-a-base",
  "one option": "incompatible-pair",
  "true or false with a reason": "statement-on-a-base",
  matching: "faults-and-causes",
  grouping: "roles-sorted",
  ordering: "order-of-fusion",
  "find the error": "error-in-fusion",
  "short text": "roles-named",
  range: "uniformity-rules",
  written: "ideal-base-list",
};

/** Goes to an address of the page and waits for its screen. */
export async function goTo(page, path) {
  await page.evaluate((to) => { location.hash = `#/${to}`; }, path);
  await page.waitForFunction(() => visit.address === globalThis.path());
  await page.waitForSelector("main h1");
}

/** The problem of a kind, opened by its code. */
export async function openKind(page, template, seed = 3) {
  const code = codeOf(template, seed);
  await goTo(page, `problem/${code}`);
  return problemOf(code);
}

async function wrong(page, template, times = 1) {
  const problem = await openKind(page, template);
  const part = problem.parts[0];
  for (let time = 0; time < times; time += 1) {
    const answer = time === 0 || part.space.kind !== "number" ? wrongly(part) : "87654.32";
    await fill(page, part.space.kind, answer);
    await check(page);
  }
}

/** An order for the bench, as a student fills it in; the same as options of the program. */
export async function fillOrder(page) {
  await goTo(page, "work");
  await page.getByLabel("Units ordered").fill("12");
  await page.getByLabel("Extra for losses").selectOption("extra");
  await page.getByLabel("Extra units").fill("2");
  await page.getByLabel("Capacity of a cavity, in g").fill("2.02");
  await page.getByLabel("Name of the base").fill("theobroma oil");
  await page.getByLabel("Its name").fill("zinc oxide");
  await page.getByLabel("Dose in each unit").fill("200 mg");
  await page.getByLabel("What it displaces").selectOption("value");
  await page.getByLabel("Displacement value").fill("4.7");
  return ["batch", "--units", "12", "--extra", "2", "--capacity", "2.02 g", "--base", "theobroma oil", "--drug", "zinc oxide", "dose=200 mg", "value=4.7"];
}

async function right(page, template) {
  const problem = await openKind(page, template);
  await answerRightly(page, problem.parts[0]);
}

/** Answers a whole problem rightly. */
async function solved(page, template) {
  const problem = await openKind(page, template);
  for (const [at, part] of problem.parts.entries()) {
    if (at > 0) await page.getByRole("button", { name: "Next part" }).click();
    await answerRightly(page, part);
  }
}

/** The states by name; each is reached from a fresh record. */
export const STATES = {
  "first visit": (page) => goTo(page, ""),
  "a worked example": (page) => page.getByRole("button", { name: "Start with the first problem" }).click(),
  ...Object.fromEntries(Object.entries(KINDS).map(([kind, template]) => [kind, (page) => openKind(page, template)])),
  "not correct": (page) => wrong(page, "base-one-drug"),
  "matching, second try": (page) => wrong(page, "faults-and-causes"),
  "the answer": (page) => wrong(page, "base-one-drug", 2),
  "correct, next part": (page) => right(page, "base-one-drug"),
  "correct, the end": (page) => solved(page, "faults-and-causes"),
  "could not be read": async (page) => {
    await openKind(page, "base-one-drug");
    await page.locator("#answer").fill("24,520");
    await check(page);
  },
  "a line without a choice": async (page) => {
    await openKind(page, "faults-and-causes");
    await check(page);
  },
  "points to be marked": async (page) => {
    await openKind(page, "ideal-base-list");
    await page.locator("#answer").fill("It melts in the body.");
    await check(page);
  },
  "the worked solution": async (page) => {
    await solved(page, "faults-and-causes");
    await page.getByRole("button", { name: /^Show the (worked solution|sources)$/ }).click();
  },
  "under More": async (page) => {
    await openKind(page, "base-one-drug");
    await page.getByText("More", { exact: true }).click();
    await page.getByRole("button", { name: "Show the answer" }).click();
  },
  "a mistyped code": (page) => goTo(page, "problem/base-one-drug.aaaa-aaaab"),
  "the start, with a record": async (page) => {
    await solved(page, "faults-and-causes");
    await goTo(page, "");
  },
  progress: async (page) => {
    await solved(page, "faults-and-causes");
    await goTo(page, "progress");
  },
  "the record": async (page) => {
    await solved(page, "faults-and-causes");
    await goTo(page, "record");
    await page.getByRole("button", { name: /^Delete/ }).click();
  },
  "a sheet": async (page) => {
    await goTo(page, "print");
    await page.getByRole("button", { name: "Make the sheet" }).click();
    await page.locator("iframe").waitFor();
  },
  "an order": (page) => goTo(page, "work"),
  "an order, refused": async (page) => {
    await goTo(page, "work");
    await page.getByLabel("Extra for losses").selectOption("excess");
    await page.getByRole("button", { name: "Add another ingredient" }).click();
    await page.getByRole("button", { name: "Calculate" }).click();
  },
  "an order, worked": async (page) => {
    await fillOrder(page);
    await page.getByRole("button", { name: "Calculate" }).click();
    await page.locator("iframe").waitFor();
  },
  "kinds to work with": (page) => goTo(page, "work/kinds"),
  "own numbers, refused": async (page) => {
    await goTo(page, "work/base-one-drug");
    await page.getByRole("button", { name: "Calculate" }).click();
  },
  about: (page) => goTo(page, "about"),
};
