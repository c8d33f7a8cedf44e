// The program, as the tests ask it.

import { execFileSync } from "node:child_process";
import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const PROGRAM = process.env.CASTMARK ?? "castmark";

/** A folder for what a test writes. */
export const folder = mkdtempSync(join(tmpdir(), "castmark-page-"));

/** What the program prints. An exit code of 1 says that an answer is wrong, which is no failure here. */
export function castmark(...args) {
  try {
    return execFileSync(PROGRAM, args, { encoding: "utf8", maxBuffer: 1 << 28, stdio: ["ignore", "pipe", "pipe"] });
  } catch (problem) {
    if (problem.status === 1) return problem.stdout;
    throw new Error(`castmark ${args.join(" ")}: ${problem.stderr}`);
  }
}

const pages = new Map();

/** The address of a page made with these options. */
export function pageOf(...options) {
  const name = options.join(" ");
  if (!pages.has(name)) {
    const file = join(folder, `page-${pages.size}.html`);
    castmark("page", "--output", file, ...options);
    pages.set(name, `file://${file}`);
  }
  return pages.get(name);
}

/** The problem of a code with its key, as the program prints it. */
export function problemOf(code) {
  return JSON.parse(castmark("problem", "--code", code, "--show", "questions,key", "--format", "json")).entries[0];
}

/** The code of a problem of a template. */
export function codeOf(template, seed) {
  const sheet = castmark("problem", "--template", template, "--seed", String(seed), "--format", "json");
  return JSON.parse(sheet).entries[0].code;
}
