// Answers put into the page as a student does, from the answer of the key.

/** Puts an answer, as the key writes it, into the open question. */
export async function fill(page, kind, answer) {
  const asking = page.locator("main form").first();
  switch (kind) {
    case "number":
    case "text":
    case "lines":
      await page.locator("#answer").fill(answer);
      break;
    case "range": {
      const [from, to] = answer.split(" to ");
      await page.locator("#answer-0").fill(from);
      await page.locator("#answer-1").fill(to.replace(/[^\d.]+$/, ""));
      break;
    }
    case "options":
      for (const box of await asking.locator(".pick input").all()) await box.setChecked(false).catch(() => {});
      for (const letter of answer.match(/\b[A-Z]\b/g) ?? []) await choose(asking, letter);
      break;
    case "judgement": {
      const [truth, reason] = answer.split(" ");
      const choice = asking.locator(".pick", { hasText: new RegExp(`^${truth}$`, "i") });
      if (await choice.count()) await choice.click();
      if (reason) await choose(asking, reason);
      break;
    }
    case "match": {
      const places = answer.split(" ").map((pair) => pair.charCodeAt(pair.length - 1) - "a".charCodeAt(0));
      const rows = await page.locator(".pairs > li").all();
      for (const [at, row] of rows.entries()) {
        const select = row.locator("select");
        if (await select.count()) await select.selectOption(String(places[at]));
        else if (await row.locator("input").count()) await row.locator(".pick").nth(places[at]).click();
      }
      break;
    }
    case "order": {
      const clear = page.getByRole("button", { name: "Clear the numbers" });
      await clear.click();
      for (const letter of answer.split(/[, ]+/)) {
        await page.locator("button.line").nth(letter.charCodeAt(0) - "A".charCodeAt(0)).click();
      }
      break;
    }
    default:
      throw new Error(`no way to answer ${kind}`);
  }
}

async function choose(asking, letter) {
  await asking.locator("label.pick", { has: asking.page().locator(`b:text-is("${letter}")`) }).click();
}

export async function check(page) {
  await page.getByRole("button", { name: "Check answer" }).click();
}

/** A wrong answer of the same form as one of the key. */
export function wrongly(part) {
  const { space, key } = part;
  const other = (letter, count) => String.fromCharCode("A".charCodeAt(0) + ((letter.charCodeAt(0) - 64) % count));
  switch (space.kind) {
    case "number":
      return "987654.32";
    case "text":
      return "xylophone";
    case "lines":
      return "nothing of it";
    case "range":
      return "901 to 902";
    case "options": {
      const wrong = space.options.map((option) => option.letter).filter((letter) => !key.answer.includes(letter));
      return wrong[0];
    }
    case "judgement": {
      const [truth, reason] = key.answer.split(" ");
      const opposite = truth === "true" ? "false" : "true";
      return reason ? `${opposite} ${other(reason, space.reasons.length)}` : opposite;
    }
    case "match": {
      const count = space.right.length;
      return key.answer.split(" ").map((pair) => pair.slice(0, -1) + other(pair.slice(-1).toUpperCase(), count).toLowerCase()).join(" ");
    }
    case "order":
      return key.answer.split(/[, ]+/).reverse().join(" ");
    default:
      throw new Error(`no wrong answer of ${space.kind}`);
  }
}

/** Answers the open question correctly, written ones by marking every point. */
export async function answerRightly(page, part) {
  const number = part.space.kind === "number" ? part.key.answer.replace(/[^\d.,−-].*$/, "").trim() : part.key.answer;
  const answer = part.space.kind === "lines" ? "all of the points, in my words" : number;
  await fill(page, part.space.kind, answer);
  await check(page);
  if (part.space.kind === "lines") {
    for (const box of await page.locator("main form .pick input").all()) await box.check();
    await page.getByRole("button", { name: "Keep these marks" }).click();
  }
}
